/* The code of routines (docs/image-format.md, section 4). C and assembler read this. */
#ifndef CODE_H
#define CODE_H

#define OPS_A_TICK   255     /* operations, a span counting its slots */
#define SPAN_MAX     64      /* slots */
#define LOOP_DEPTH   2

/* Operations; below OP_WAIT: fade slot. */
#define OP_WAIT      0x40    /* and up: the low six bits are ticks; 0: WAIT_MORE and the next byte */
#define OP_TIME      0x80    /* and up: F in the low six bits; TIME_NEXT: in the next byte */
#define OP_TIME_NEXT 0xBF
#define OP_END       0xC0
#define OP_AGAIN     0xC1
#define OP_SPAN      0xC2
#define OP_LOOP      0xC3
#define OP_LOOP_END  0xC4

#define LOW_SIX      0x3F
#define WAIT_MORE    64      /* ticks */

#endif
