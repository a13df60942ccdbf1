#include "textflag.h"

// func drawVector(delims, ends *byte, before *Count, text *byte, n int, delim byte)
TEXT ·drawVector(SB), NOSPLIT, $0-41
	MOVQ delims+0(FP), DI
	MOVQ ends+8(FP), R12
	MOVQ before+16(FP), R13
	MOVQ text+24(FP), SI
	MOVQ n+32(FP), CX

	// Y0, Y1, Y2: 32 delimiters, line ends, quotes.
	MOVBLZX      delim+40(FP), AX
	MOVQ         AX, X0
	VPBROADCASTB X0, Y0
	MOVL         $'\n', AX
	MOVQ         AX, X1
	VPBROADCASTB X1, Y1
	MOVL         $'"', AX
	MOVQ         AX, X2
	VPBROADCASTB X2, Y2

	XORQ BX, BX // the count before the word
	XORQ DX, DX // the number of the word

next:
	VMOVDQU (SI), Y3
	VMOVDQU 32(SI), Y4

	VPCMPEQB  Y0, Y3, Y5
	VPCMPEQB  Y0, Y4, Y6
	VPMOVMSKB Y5, R8
	VPMOVMSKB Y6, R9
	SHLQ      $32, R9
	ORQ       R9, R8       // delimiters

	VPCMPEQB  Y1, Y3, Y5
	VPCMPEQB  Y2, Y3, Y3
	VPOR      Y3, Y5, Y5
	VPCMPEQB  Y1, Y4, Y6
	VPCMPEQB  Y2, Y4, Y4
	VPOR      Y4, Y6, Y6
	VPMOVMSKB Y5, R10
	VPMOVMSKB Y6, R11
	SHLQ      $32, R11
	ORQ       R11, R10     // ends

	MOVQ R8, (DI)(DX*8)
	MOVQ R10, (R12)(DX*8)
	MOVQ BX, (R13)(DX*8)

	POPCNTQ R8, R8
	POPCNTQ R10, R10
	SHLQ    $32, R10
	ADDQ    R8, BX
	ADDQ    R10, BX

	ADDQ $64, SI
	INCQ DX
	CMPQ DX, CX
	JNE  next

	VZEROUPPER
	RET
