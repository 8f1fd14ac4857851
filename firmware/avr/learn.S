/* What core/learn.c does, for the ATmega328P, in about half the flash that the compiler takes. The rules are the same; that file is
 * the one to read first.
 */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "core.h"
#include "image.h"
#include "pace.h"

/* Of a pacer: the ring, then these. */
#define ODD          (2 * PACE_RING)
#define ODD_N        (ODD + 2)
#define N            (ODD + 3)
#define PACER_BYTES  (ODD + 4)

#define FED_BIT      4               /* ROLE_FED */
.if ROLE_FED != 1 << FED_BIT
  .error "the bit has moved"
.endif

.section .bss
pacers: .skip PACERS_MAX * PACER_BYTES

.section .text.learn,"ax",@progbits

/* r24 a pacer. Gives its bytes in Y. */
.macro find_pacer
  ldi r28, lo8(pacers)
  ldi r29, hi8(pacers)
  tst r24                            /* simavr takes some adiw for two words, and so would skip too far */
  breq 7f
  adiw r28, PACER_BYTES
7:
.endm

.macro shift_right high, low, n
  ldi r21, \n
7:
  lsr \high
  ror \low
  dec r21
  brne 7b
.endm

/* Gives in r23:r22 the mean of the oldest r20 on-times, 1..PACE_RING. Leaves r20. */
mean:
  movw r30, r28
  clr r24
  clr r25
  mov r21, r20
1:
  ld r22, Z+
  ld r23, Z+
  add r24, r22
  adc r25, r23
  dec r21
  brne 1b
  mov r22, r20
  clr r23
  jmp __udivmodhi4

/* Gives carry when the on-time in r15:r14 is more than an eighth away from r23:r22. */
is_far:
  movw r24, r14
  sub r24, r22
  sbc r25, r23
  brcc 1f
  com r25
  neg r24
  sbci r25, -1
1:
  shift_right r23, r22, 3
  cp r22, r24
  cpc r23, r25
  ret

/* Forgets the oldest r21 on-times; some are left. Gives their number in r20. */
forget:
  ldd r20, Y + N
  sub r20, r21
  std Y + N, r20
  movw r26, r28
  movw r30, r28
  lsl r21
  add r30, r21
  adc r31, r1
  mov r21, r20
1:
  ld r24, Z+
  st X+, r24
  ld r24, Z+
  st X+, r24
  dec r21
  brne 1b
  ret

/* r24 the pacer that Y has. Gives its target in r25:r24. */
target:
  ldd r20, Y + N
  cpse r20, r1
  rjmp 1f
  call store_target
  sbiw r24, 0
  brne 5f
  ldi r24, lo8(PACE_DEFAULT)
  ldi r25, hi8(PACE_DEFAULT)
5:
  ret
1:
  movw r30, r28
  mov r21, r20
  ldi r24, 0xFF                      /* r25:r24 the least, r23:r22 the second */
  ldi r25, 0xFF
2:
  ld r26, Z+
  ld r27, Z+
  cp r26, r24
  cpc r27, r25
  brsh 3f
  movw r22, r24
  movw r24, r26
  rjmp 4f
3:
  cp r26, r22
  cpc r27, r23
  brsh 4f
  movw r22, r26
4:
  dec r21
  brne 2b
  cpi r20, PACE_TREND_MIN
  brlo 5b
  movw r30, r22
  sub r30, r24
  sbc r31, r25
  movw r26, r24
  shift_right r27, r26, 5
  cp r26, r30
  cpc r27, r31
  brsh 5b
  movw r24, r22
  ret

to_done:                             /* branches do not reach far */
  rjmp done

/* r24 pacer, r23:r22 on-time. */
.global pace_learn
pace_learn:
  .irp r, 13, 14, 15, 28, 29
    push r\r
  .endr
  mov r13, r24
  movw r14, r22
  find_pacer
  subi r22, lo8(PACE_MIN)
  sbci r23, hi8(PACE_MIN)
  cpi r22, lo8(PACE_MAX - PACE_MIN + 1)
  ldi r24, hi8(PACE_MAX - PACE_MIN + 1)
  cpc r23, r24
  brsh to_done
  ldd r20, Y + N
  tst r20
  breq fits
  rcall mean
  rcall is_far
  brcc fits
  ldd r20, Y + ODD_N
  tst r20
  breq 1f
  ldd r22, Y + ODD
  ldd r23, Y + ODD + 1
  rcall is_far
  brcc 2f
  ldi r20, 0
1:
  std Y + ODD, r14
  std Y + ODD + 1, r15
2:
  inc r20
  std Y + ODD_N, r20
  cpi r20, PACE_AGREE
  brlo to_done
  std Y + N, r1
fits:
  std Y + ODD_N, r1
  ldd r20, Y + N
  cpi r20, PACE_RING
  brne 1f
  ldi r21, 1
  rcall forget
1:
  movw r30, r28
  add r30, r20
  adc r31, r1
  add r30, r20
  adc r31, r1
  st Z, r14
  std Z + 1, r15
  inc r20
  std Y + N, r20
  cpi r20, PACE_TREND_MIN
  brlo offer

  subi r20, PACE_NEWEST              /* is there a trend? */
  rcall mean                         /* Z comes back behind those */
  movw r24, r22
  shift_right r25, r24, 5
  movw r18, r22
  sub r18, r24                       /* r19:r18 and r23:r22: a little less and more than the mean */
  sbc r19, r25
  add r22, r24
  adc r23, r25
  ldi r24, PACE_NEWEST               /* those that are not less, and not more */
  ldi r25, PACE_NEWEST
  ldi r21, PACE_NEWEST
1:
  ld r26, Z+
  ld r27, Z+
  cp r26, r18
  cpc r27, r19
  sbci r24, 0
  cp r22, r26
  cpc r23, r27
  sbci r25, 0
  dec r21
  brne 1b
  tst r24
  breq 1f
  cpse r25, r1
  rjmp offer
1:
  mov r21, r20
  rcall forget
offer:
  ldi r24, PACE_TREND_MIN
  lds r25, image_role
  sbrc r25, FED_BIT
  ldi r24, 1
  ldd r20, Y + N
  cp r20, r24
  brlo done
  mov r24, r13
  rcall target
  movw r22, r24
  mov r24, r13
  call store_offer
done:
  .irp r, 29, 28, 15, 14, 13
    pop r\r
  .endr
  ret

/* r24 pacer, r23:r22 age, r21:r20 ticks. Gives the rate in r25:r24. */
.global pace_rate
pace_rate:
  .irp r, 14, 15, 16, 17, 28, 29
    push r\r
  .endr
  movw r14, r22
  movw r16, r20
  find_pacer
  rcall target
  sub r24, r14
  sbc r25, r15
  brcs 1f
  sbiw r24, PACE_DELAY
  brcs 1f
  shift_right r25, r24, 3
  tst r24
  brne 2f
1:
  ldi r24, 1
2:
  ldi r25, 8                         /* r24 frames: is it 8 ticks a frame or more? */
  mul r24, r25
  cp r16, r0
  cpc r17, r1
  clr r1
  ldi r18, lo8(PACE_RATE_MAX)
  ldi r19, hi8(PACE_RATE_MAX)
  brsh 6f
  clr r18                            /* r19:r18 := ticks * RATE_ONE / frames, digit by digit: 3 whole ones and 12 behind the point */
  clr r19
1:
  cp r16, r24
  cpc r17, r1
  brlo 2f
  sub r16, r24
  sbc r17, r1
  inc r18
  rjmp 1b
2:
  ldi r20, 12
3:
  lsl r18
  rol r19
  lsl r16
  rol r17
  cp r16, r24
  cpc r17, r1
  brlo 4f
  sub r16, r24
  sbc r17, r1
  inc r18
4:
  dec r20
  brne 3b
  or r16, r17                        /* rounded up */
  breq 6f
  subi r18, -1
  sbci r19, -1
6:
  movw r24, r18
  .irp r, 29, 28, 17, 16, 15, 14
    pop r\r
  .endr
  ret
