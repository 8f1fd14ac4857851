/* What core/share.c does, for the ATmega328P. */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "safe.h"
#include "share.h"

.section .bss
.global share_wire
share_wire: .skip 1
second:     .skip 1
history:    .skip 3                  /* HIGHS and ON follow */
            .skip 2
#define HIGHS 3
#define ON    4

.section .text.share,"ax",@progbits
.global share_start
share_start:
  ldi r24, SAFE_SHARED
  call safe_u8
  tst r24
  breq 1f
  mov r18, r24
  call input_mask
  sts share_wire, r24
  mov r24, r18
  lsr r24
  lsr r24
  lsr r24
  call input_mask
  sts second, r24
1:
  ret

/* r24 a sample, polarity put right, and again on return. */
.global share_refresh
share_refresh:
  ldi r30, lo8(history)
  ldi r31, hi8(history)
  ldd r18, Z + 0
  ldd r19, Z + 1
  ldd r20, Z + 2
  ldd r21, Z + HIGHS
  sbrc r20, SHARE_OLDEST_BIT
  dec r21
  lds r25, share_wire
  and r25, r24
  cp r1, r25                         /* carry: the wire is high */
  brcc 1f
  inc r21
1:
  rol r18
  rol r19
  rol r20
  std Z + 0, r18
  std Z + 1, r19
  std Z + 2, r20
  std Z + HIGHS, r21
  ldd r25, Z + ON
  cpi r21, SHARE_ON
  brlo 1f
  ldi r25, 1
1:
  cpi r21, SHARE_OFF + 1
  brsh 1f
  ldi r25, 0
1:
  std Z + ON, r25
  lds r18, second
  or r24, r18
  sbrs r25, 0
  eor r24, r18
  ret
