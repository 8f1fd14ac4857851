/* What core/step.c does, for the ATmega328P, in about half the flash that the compiler takes. The rules are the same; that file is
 * the one to read first.
 */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "core.h"
#include "image.h"
#include "layout.h"
#include "machine.h"

/* Numbers of the bits. */
#define SHOW_BIT  0                  /* IS_SHOW, of kind */
#define FAST_BIT  2                  /* IS_FAST */
#define ENDED_BY_BIT 3               /* IS_ENDED_BY */
#define SPENT_BIT 0                  /* SPENT, of flags */
#define ENDED_BIT 1                  /* ENDED */
.if IS_SHOW != 1 << SHOW_BIT || IS_FAST != 1 << FAST_BIT || IS_ENDED_BY != 1 << ENDED_BY_BIT || SPENT != 1 << SPENT_BIT || ENDED != 1 << ENDED_BIT
  .error "the bits have moved"
.endif

.section .bss
taken: .skip REGISTERS_MAX           /* outputs of the live signals before the layer */

/* Registers:
 *   Y      layer               r17:r16  its entry          r13:r12  force
 *   r10    inputs              r11  no_shows               r14  whether anything moves
 *   r15    kind                r20  flags                  r22  phase             r23  wanted       T  barred
 *   r18, r19, r21, r24, r25, X, Z   scratch
 */

/* Z at a field of the entry. */
.macro at_entry field
  movw r30, r16
  .if \field
    adiw r30, \field
  .endif
.endm

/* One less of a count that is not 0. To \out unless it reaches 0 just now. */
.macro count_down count, out
  ldd r24, Y + \count
  ldd r25, Y + \count + 1
  sbiw r24, 1
  brcs \out
  std Y + \count, r24
  std Y + \count + 1, r25
  brne \out
.endm

/* To \out unless the phase is \first, or one of the n - 1 that follow it. */
.macro unless_in first, n, out
  mov r24, r22
  subi r24, \first
  cpi r24, \n
  brsh \out
.endm

.section .text.step,"ax",@progbits

/* Gives the phase of a layer that has nothing more to show. Z at LAYER_KEEP. */
rest:
  lpm r24, Z+
  lpm r25, Z
  std Y + STATE_KEEP, r24
  std Y + STATE_KEEP + 1, r25
  ldi r22, PHASE_KEEP
  or r24, r25
  brne 1f
  ldi r22, PHASE_OFF
1:
  ret

cut:
  ldi r22, PHASE_OFF
  std Y + STATE_WINDOW, r1
  std Y + STATE_WINDOW + 1, r1
  ret

/* r24 inputs, r22 no_shows, r21:r20 force. */
.global machine_step
machine_step:
  .irp r, 10, 11, 12, 13, 14, 15, 16, 17, 28, 29
    push r\r
  .endr
  mov r10, r24
  mov r11, r22
  movw r12, r20
  clr r14
  ldi r30, lo8(taken)
  ldi r31, hi8(taken)
  ldi r24, REGISTERS_MAX
1:
  st Z+, r1
  dec r24
  brne 1b
  lds r16, first_entry
  lds r17, first_entry + 1
  ldi r28, lo8(layers)
  ldi r29, hi8(layers)
  rjmp behind

layer:
  at_entry LAYER_FLAGS
  lpm r15, Z+
  lpm r23, Z
  and r23, r10
  adiw r30, LAYER_NOT_WHILE - LAYER_INPUTS
  lpm r24, Z+
  lpm r25, Z
  clt
  and r24, r10
  brne barred
  tst r25
  breq 1f
  and r25, r10
  breq barred
1:
  sbrs r15, SHOW_BIT
  rjmp 2f
  tst r11
  breq 2f
barred:
  set
2:
  ldd r22, Y + STATE_PHASE
  ldd r20, Y + STATE_FLAGS
  andi r20, ~START
  cpse r23, r1
  rjmp 1f
  andi r20, ~SPENT
1:                                   /* timers */
  count_down STATE_WINDOW, 1f
1:
  cpi r22, PHASE_KEEP
  brne 1f
  count_down STATE_KEEP, 2f
over:
  ldi r22, PHASE_OFF
  rjmp 1f
2:                                   /* a turn that is over keeps nothing */
  at_entry LAYER_INPUTS
  lpm r24, Z
  lds r25, stopturn_still
  and r24, r25
  brne over
1:
  unless_in PHASE_ARRIVE, 2, 1f
  lds r24, frame
  andi r24, LIMIT_UNIT_FRAMES - 1
  brne 1f
  count_down STATE_LIMIT, 1f
  ori r20, SPENT
1:                                   /* routines that ended */
  sbrs r20, ENDED_BIT
  rjmp 1f
  andi r20, ~ENDED
  cpi r22, PHASE_ARRIVE
  brne 2f
  ldi r22, PHASE_STAY
  ori r20, START
2:
  cpi r22, PHASE_LEAVE
  brne 1f
  at_entry LAYER_KEEP
  rcall rest
1:                                   /* interruption */
  sbrs r15, ENDED_BY_BIT
  rjmp 1f
  unless_in PHASE_ARRIVE, 3, 1f
  at_entry LAYER_TAKES
  ldi r26, lo8(taken)
  ldi r27, hi8(taken)
  ldi r24, REGISTERS_MAX
2:
  lpm r25, Z+
  ld r0, X+
  and r25, r0
  brne 3f
  dec r24
  brne 2b
  rjmp 1f
3:
  ori r20, SPENT
  rcall cut
1:
  brtc 1f
  sbrs r15, SHOW_BIT
  rjmp 2f
  cpse r23, r1
  ori r20, SPENT
  cpse r22, r1
  rcall cut
2:
  clr r23
1:
  sbrc r20, SPENT_BIT
  clr r23
  tst r23                            /* input */
  breq unwanted
  unless_in PHASE_ARRIVE, 2, 1f
  rjmp settled
1:
  at_entry LAYER_ARRIVE
  lpm r24, Z+
  lpm r25, Z
  ldi r22, PHASE_STAY
  or r24, r25
  breq 1f
  ldd r24, Y + STATE_WINDOW
  ldd r25, Y + STATE_WINDOW + 1
  or r24, r25
  brne 1f
  ldi r22, PHASE_ARRIVE
1:
  ori r20, START
  adiw r30, LAYER_LIMIT - LAYER_ARRIVE - 1
  lpm r24, Z+
  lpm r25, Z
  std Y + STATE_LIMIT, r24
  std Y + STATE_LIMIT + 1, r25
  rjmp settled
unwanted:
  unless_in PHASE_ARRIVE, 2, settled
  at_entry LAYER_LEAVE
  lpm r18, Z+
  lpm r19, Z+
  lpm r24, Z+
  lpm r25, Z+
  std Y + STATE_WINDOW, r24
  std Y + STATE_WINDOW + 1, r25
  or r18, r19
  breq 1f
  ldi r22, PHASE_LEAVE
  ori r20, START
  rjmp settled
1:
  rcall rest
settled:
  std Y + STATE_PHASE, r22
  std Y + STATE_FLAGS, r20
  ldd r24, Y + STATE_WINDOW
  ldd r25, Y + STATE_WINDOW + 1
  or r14, r22
  or r14, r24
  or r14, r25

  sbrc r15, SHOW_BIT                 /* a show covers nothing */
  clr r22
  at_entry LAYER_TAKES
  ldi r26, lo8(taken)
  ldi r27, hi8(taken)
  movw r18, r28
  movw r28, r12
  ldi r23, REGISTERS_MAX
1:
  lpm r24, Z+
  ld r25, X
  sbrs r15, FAST_BIT
  rjmp 2f
  mov r0, r25
  com r0
  and r0, r24
  ld r21, Y
  or r0, r21
  st Y, r0
2:
  cpse r22, r1
  or r25, r24
  st X+, r25
  adiw r28, 1
  dec r23
  brne 1b
  movw r28, r18
  subi r16, lo8(-(LAYER_BYTES))
  sbci r17, hi8(-(LAYER_BYTES))
  adiw r28, STATE_BYTES
behind:
  lds r24, layers_end
  lds r25, layers_end + 1
  cp r28, r24
  cpc r29, r25
  brsh 1f
  rjmp layer
1:
  sts machine_moves, r14
  .irp r, 29, 28, 17, 16, 15, 14, 13, 12, 11, 10
    pop r\r
  .endr
  ret
