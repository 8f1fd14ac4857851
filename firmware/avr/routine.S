/* What core/routine.c does, for the ATmega328P: the loops that a frame's time goes into. The rules are the same, to the bit;
 * that file is the one to read first.
 *
 * A byte of the image is read before it is known whether it lies in the image (flash has a byte at every address), and nothing
 * is done with an operation before that is known.
 */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "code.h"
#include "core.h"
#include "image.h"
#include "layout.h"

.section .text.player,"ax",@progbits

/* r25:r24 entry, r22 ticks. */
.global player_step
player_step:
  push r28
  push r29
  mov r20, r22
  movw r30, r24
  rcall read_entry
  movw r28, r26
  clr r21
  clt                                /* T: a single tick */
  cpi r20, 1
  brne 1f
  set
1:
  ldd r18, Y + FADE_LEFT
  sub r18, r20
  brcs 4f
  breq 5f
  std Y + FADE_LEFT, r18
  ldd r18, Y + FADE_STEP
  ldd r19, Y + FADE_STEP + 1
  brts 2f
  mul r19, r20
  mov r19, r0
  mul r18, r20
  mov r18, r0
  add r19, r1
2:
  ldd r24, Y + FADE_CUR
  add r18, r24
  ldd r24, Y + FADE_CUR + 1
  adc r19, r24
  std Y + FADE_CUR, r18
  std Y + FADE_CUR + 1, r19
3:
  adiw r28, FADE_BYTES
  dec r22
  brne 1b
  clr r1
  pop r29
  pop r28
  ret
4:                                   /* at rest, or there before the last of the ticks */
  ldd r18, Y + FADE_LEFT
  tst r18
  breq 3b
5:
  std Y + FADE_LEFT, r21
  ldd r18, Y + FADE_TARGET
  std Y + FADE_CUR, r21
  std Y + FADE_CUR + 1, r18
  rjmp 3b

/* Registers of the events:
 *   Y         player              Z  next operation, address in flash      X  fade
 *   r13:r12   first fade          r15:r14  end of the image, address       r17:r16  reach
 *   r24       operations left     r22  slots
 *   r18, r19, r20   slot, level, number of slots; or an operation's bytes
 *   r11, r21, r23, r25, T   scratch
 */

/* An operation has been read up to Z: it counts one, if it lies in the image and one is left. Else the routine ends. */
take:
  cp r14, r30
  cpc r15, r31
  brlo 1f
  subi r24, 1
  brcs 1f
  ret
1:
  pop r0                             /* not back to the operation */
  pop r0
  rjmp ended

/* r20: a loop's depth, 1 or 2. Gives its place in X. */
loop_at:
  movw r26, r28
  adiw r26, PLAYER_LOOP
  cpi r20, LOOP_DEPTH
  brne 1f
  adiw r26, LOOP_BYTES
1:
  ret

/* r25:r24 player, r23:r22 entry, r21:r20 routine (offset in the image). */
.global player_start
player_start:
  set
  rjmp 1f
/* r25:r24 player, r23:r22 entry. */
.global player_events
player_events:
  clt
1:
  .irp r, 11, 12, 13, 14, 15, 16, 17, 28, 29
    push r\r
  .endr
  movw r28, r24
  movw r30, r22
  rcall read_entry
  movw r12, r26
  lds r14, image_length
  lds r15, image_length + 1
  ldi r18, hi8(IMAGE_AT)
  add r15, r18
  ldi r24, OPS_A_TICK
  ldd r16, Y + PLAYER_REACH
  ldd r17, Y + PLAYER_REACH + 1
  ldd r30, Y + PLAYER_AT
  ldd r31, Y + PLAYER_AT + 1
  brtc next
  rjmp first

/* Branches do not reach far. */
to_no_fade:
  rjmp no_fade

next:
  lpm r18, Z+
  cpi r18, OP_WAIT
  brsh to_no_fade
  lpm r19, Z+
  ldi r20, 1
fade_slots:
  cp r14, r30
  cpc r15, r31
  brlo ended
  sub r24, r20
  brcs ended
  ldd r21, Y + PLAYER_SHIFT
  add r18, r21
fade_one:
  cp r18, r22
  brsh passed_over
  ldi r26, FADE_BYTES
  mul r18, r26
  movw r26, r0
  add r26, r12
  adc r27, r13
  tst r17                            /* reach is 257 or more, once it has been worked out */
  breq no_reach
fade_slope:
  /* r23:r21 := the way, T its sign. */
  clr r21
  ld r0, X+
  sub r21, r0
  mov r23, r19
  ld r0, X+
  sbc r23, r0
  clt
  brcc 1f
  set
  com r23
  neg r21
  sbci r23, -1
1:
  ldd r0, Y + PLAYER_TICKS
  st X+, r0
  st X+, r19
  /* r1:r0 := the way * reach >> 16. */
  mul r21, r16
  mov r25, r1
  mul r21, r17
  add r25, r0
  mov r11, r1
  clr r21
  adc r11, r21
  mul r23, r16
  add r25, r0
  adc r11, r1
  adc r21, r21
  mul r23, r17
  add r0, r11
  adc r1, r21
  brtc 1f
  clr r21
  neg r1
  neg r0
  sbc r1, r21
1:
  st X+, r0
  st X, r1
passed_over:
  inc r18
  dec r20
  brne fade_one
  rjmp next

ended:
  clr r18
  clr r19
  ldi r24, 1
  rjmp leave

no_reach:
  ldd r21, Y + PLAYER_TICKS
  tst r21
  breq 4f
  clr r23                            /* 65535 / r21: all bits of the dividend are set; the quotient comes inverted */
  ldi r25, 16
1:
  sec
  rol r23
  brcs 2f
  cp r23, r21
  brcs 3f
2:
  sub r23, r21
  clc
3:
  rol r16
  rol r17
  dec r25
  brne 1b
  com r16
  com r17
  rjmp fade_slope
4:                                   /* at once */
  st X+, r21
  st X+, r19
  st X+, r21
  rjmp passed_over

first:
  add r21, r18
  std Y + PLAYER_CODE, r20
  std Y + PLAYER_CODE + 1, r21
  std Y + PLAYER_ACC, r1
  std Y + PLAYER_ACC + 1, r1


rewind:
  clr r1
  movw r26, r12
  mov r20, r22
1:
  st X+, r1                          /* cur */
  st X+, r1
  st X+, r1                          /* left */
  adiw r26, FADE_BYTES - FADE_TARGET
  dec r20
  brne 1b
  std Y + PLAYER_POS, r1
  std Y + PLAYER_POS + 1, r1
  std Y + PLAYER_TICKS, r1
  std Y + PLAYER_SHIFT, r1
  std Y + PLAYER_DEPTH, r1
  clr r16
  clr r17
  ldd r30, Y + PLAYER_CODE
  ldd r31, Y + PLAYER_CODE + 1
  cp r30, r14                        /* what follows only goes on from here: no other address can be before the image */
  cpc r31, r15
  brsh ended
  cpi r31, hi8(IMAGE_AT)
  brlo ended
  rjmp next

no_fade:
  cpi r18, OP_TIME
  brsh no_wait
  clr r19
  andi r18, LOW_SIX
  brne 1f
  lpm r18, Z+
  ldi r20, WAIT_MORE
  add r18, r20
  adc r19, r19
1:
  rcall take
  std Y + PLAYER_AT, r30
  std Y + PLAYER_AT + 1, r31
  std Y + PLAYER_REACH, r16
  std Y + PLAYER_REACH + 1, r17
  ldi r24, 0
leave:
  std Y + PLAYER_WAIT, r18
  std Y + PLAYER_WAIT + 1, r19
  clr r1
  .irp r, 29, 28, 17, 16, 15, 14, 13, 12, 11
    pop r\r
  .endr
  ret

no_wait:
  cpi r18, OP_END
  brsh no_time
  andi r18, LOW_SIX
  cpi r18, LOW_SIX
  brne 1f
  lpm r18, Z+
1:
  rcall take
  std Y + PLAYER_TICKS, r18
  clr r16
  clr r17
  rjmp next

no_time:
  cpi r18, OP_SPAN
  breq span
  cpi r18, OP_LOOP
  breq loop
  cpi r18, OP_LOOP_END
  breq loop_end
  cpi r18, OP_AGAIN
  brne to_ended
  rcall take
  ldd r18, Y + PLAYER_POS
  ldd r19, Y + PLAYER_POS + 1
  or r18, r19
  breq to_ended
  rjmp rewind
to_ended:
  rjmp ended

span:
  lpm r18, Z+
  lpm r20, Z+
  lpm r19, Z+
  mov r21, r20
  dec r21
  cpi r21, SPAN_MAX
  brsh to_ended
  rjmp fade_slots

loop:
  lpm r18, Z+
  lpm r19, Z+
  rcall take
  cpi r18, 2
  brlo to_ended
  ldd r20, Y + PLAYER_DEPTH
  cpi r20, LOOP_DEPTH
  brsh to_ended
  inc r20
  std Y + PLAYER_DEPTH, r20
  rcall loop_at
  st X+, r30
  st X+, r31
  st X, r18
  rjmp next

loop_end:
  rcall take
  ldd r20, Y + PLAYER_DEPTH
  tst r20
  breq to_ended
  rcall loop_at
  movw r18, r30
  ld r30, X+
  ld r31, X+
  sbiw r30, 2
  lpm r23, Z+                        /* passes */
  lpm r25, Z+                        /* what each adds */
  ldd r21, Y + PLAYER_SHIFT
  ld r0, X
  dec r0
  st X, r0
  breq 1f
  add r21, r25
  rjmp 2f
1:
  movw r30, r18
  dec r23
  mul r23, r25
  sub r21, r0
  dec r20
  std Y + PLAYER_DEPTH, r20
2:
  std Y + PLAYER_SHIFT, r21
  rjmp next
