// Package bmff reads from a video file how long it is and when it was made. It
// reads the headers of ISO base media files (ISO/IEC 14496-12), the format in
// which cameras write video. It reads nothing else of a file and decodes
// nothing.
//
// [Read] walks the boxes of the file. A box is a length, a kind of four letters
// and a body; the length has 32 or 64 bits, or says that the box extends to the
// end of the file.
//
//	moov            the header, before or behind the data
//	  mvhd          time of making, scale and duration of the whole
//	  trak          a track
//	    tkhd        its number
//	    mdia/mdhd   its own scale and duration
//	    mdia/hdlr   what it is: "vide" is the picture
//	  mvex          there are fragments
//	    mehd        duration of the whole, fragments included
//	    trex        what a track's samples last where a fragment does not say
//	moof/traf       a fragment of a track: tfhd, tfdt, trun
//	mdat            the data
//
// The length is that of the picture's track or, without one, that of the whole.
// A camera that lost its power before it closed the file leaves the data and no
// header: such a file is a video of unknown length.
package bmff
