// Package bmff reads the length of a video file and when it was made, from the
// headers of ISO base media files (ISO/IEC 14496-12), the format in which cameras
// write video. It reads nothing else of a file and decodes nothing.
//
// [Read] walks through the boxes of the file. A box is a length, a kind of four
// letters and a body; the length has 32 or 64 bits, or says that the box extends
// to the end of the file.
//
//	moov            the header, before or after the data
//	  mvhd          creation time, time scale and duration of the whole
//	  trak          a track
//	    tkhd        its number
//	    mdia/mdhd   its own scale and duration
//	    mdia/hdlr   what it is: "vide" is the picture
//	  mvex          there are fragments
//	    mehd        duration of the whole, fragments included
//	    trex        default duration of a track's samples
//	moof/traf       a fragment of a track: tfhd, tfdt, trun
//	mdat            the data
//
// The length is that of the picture's track or, if it has none, that of the
// whole. A camera that lost its power before it closed the file leaves the data
// and no header: such a file is a video of unknown length.
package bmff
