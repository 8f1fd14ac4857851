/* Refresh interrupt for outputs that hang directly on the processor's pins. Widths and order of planes: widths.h.
 *
 * Four interrupts a refresh, each begins by writing two port images that wait in GPIOR1 and GPIOR2. The first (burst) shows
 * P1 S P0 P2 P3 at their exact widths and leaves P4 lit; the others get the images of the next plane ready and go. The last one
 * also asks the core what comes next. PORTD is always written 2 cycles after PORTB.
 *
 * Planes hold port images; force_now holds outputs, so its bits are moved to their ports once a refresh.
 */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "board.h"
#include "widths.h"
#include "cycles.inc"

#define IMAGE_B GPIOR1
#define IMAGE_D GPIOR2
#define SET_START(plane) ((plane) * PLANE_BYTES)
#define SUB_2 2
#define P(n) (3 + (n))

.section .bss
.global next_handler
next_handler: .skip 2                /* word address of the code for the next interrupt */
s_start:      .skip 2                /* the plane that the coming slot S shows */
no_light:     .skip PLANE_BYTES      /* what S shows in its dark phase; never written */
force_ports:  .skip PLANE_BYTES      /* force_now as port images */

.section .text.refresh,"ax",@progbits

/* The images of the next plane, OR the forced bits, into r24 (PORTB) and r25 (PORTD). */
.macro fetch
  ld r24, Z+
  lds r26, force_ports
  or r24, r26
  ld r25, Z+
  lds r26, force_ports + 1
  or r25, r26
.endm
.set FETCH_CYCLES, 10

.macro fetch_for_next_interrupt
  fetch
  out IMAGE_B, r24
  out IMAGE_D, r25
.endm

/* Shows r24 and r25 exactly at `moment`, which becomes the new zero. */
.macro show_at moment
  wait_until (\moment) - 1
  out PORTB, r24
  zero
  c1 nop
  c1 out PORTD, r25
.endm

.macro pointer from, offset=0
  lds r30, \from
  lds r31, \from + 1
  .if \offset
    adiw r30, \offset
  .endif
.endm

.macro next_interrupt_is handler
  ldi r24, lo8(pm(\handler))
  sts next_handler, r24
  ldi r24, hi8(pm(\handler))
  sts next_handler + 1, r24
.endm
.set NEXT_INTERRUPT_CYCLES, 6

.macro leave
  pop r26
  pop r25
  pop r24
  pop r31
  pop r30
  out SREG, r30
  pop r30
  reti
.endm

wait_seven:
  ret

.global TIMER1_COMPA_vect
TIMER1_COMPA_vect:
  push r30
  in r30, IMAGE_B
  out PORTB, r30                     /* the light changes here: moment 0 of every handler */
  in r30, IMAGE_D
  out PORTD, r30
  in r30, SREG
  push r30
  push r31
  lds r30, next_handler
  lds r31, next_handler + 1
  ijmp
.set ENTERED, 13

burst:
  zero
  .set now, ENTERED                  /* P1 shines */
  c2 push r24
  c2 push r25
  c2 push r26
  next_interrupt_after (PINS_WIDTH_P1 + PINS_WIDTH_S + PINS_WIDTH_P0 + PINS_WIDTH_P2 + PINS_WIDTH_P3 + PINS_WIDTH_P4)
  .set now, now + NEXT_AFTER_CYCLES
  next_interrupt_is show_p5
  .set now, now + NEXT_INTERRUPT_CYCLES
  pointer s_start
  fetch
  .set now, now + 4 + FETCH_CYCLES
  show_at PINS_WIDTH_P1              /* S */
  pointer shown, SET_START(P(0))
  fetch
  .set now, now + 6 + FETCH_CYCLES
  show_at PINS_WIDTH_S               /* P0 */
  c2 adiw r30, PLANE_BYTES
  fetch
  .set now, now + FETCH_CYCLES
  show_at PINS_WIDTH_P0              /* P2 */
  fetch
  .set now, now + FETCH_CYCLES
  show_at PINS_WIDTH_P2              /* P3 */
  fetch
  .set now, now + FETCH_CYCLES
  show_at PINS_WIDTH_P3              /* P4, stays */
  fetch_for_next_interrupt           /* P5 */
  leave

/* A long plane shines; the images of the next one are got ready. */
.macro long_plane name, next_plane, width, next
\name:
  push r24
  push r25
  push r26
  next_interrupt_after \width
  next_interrupt_is \next
  pointer shown, SET_START(\next_plane)
  fetch_for_next_interrupt
  leave
.endm

  long_plane show_p5, P(6), PINS_WIDTH_P5, show_p6
  long_plane show_p6, P(7), PINS_WIDTH_P6, show_p7

/* P7 shines: sample, ask the core, prepare S and P1 of the coming refresh. */
.global show_p7
show_p7:
  push r24
  push r25
  push r26
  push r0
  push r1
  push r18
  push r19
  push r20
  push r21
  push r22
  push r23
  push r27
  clr r1                             /* the compiler counts on it */
  in r24, PINC                       /* each port is read once a refresh */
  in r22, PIND
  andi r24, 0x3f
  andi r22, 1 << LINK_BIT
  call refresh_next
  mov r18, r24                       /* phase of the coming refresh */

  lds r24, force_now                 /* outputs 8..1 */
  mov r25, r24
  andi r25, 0x3f
  sts force_ports, r25
  swap r24
  andi r24, 0x0c                     /* outputs 7, 8 = PD2, PD3 */
  lds r25, force_now + 1             /* outputs 12..9 */
  swap r25
  andi r25, 0xf0                     /* = PD7..PD4 */
  or r24, r25
  sts force_ports + 1, r24

  /* S takes sub2 in even phases, sub1 in 1 and 5, sub0 in 3, nothing in 7: one plane back for each low bit set. */
  pointer shown, SET_START(SUB_2)
  sbrs r18, 0
  rjmp 1f
  sbiw r30, PLANE_BYTES
  sbrs r18, 1
  rjmp 1f
  sbiw r30, PLANE_BYTES
  sbrs r18, 2
  rjmp 1f
  ldi r30, lo8(no_light)
  ldi r31, hi8(no_light)
1:
  sts s_start, r30
  sts s_start + 1, r31

  next_interrupt_after PINS_WIDTH_P7
  next_interrupt_is burst
  pointer shown, SET_START(P(1))
  fetch_for_next_interrupt
  pop r27
  pop r23
  pop r22
  pop r21
  pop r20
  pop r19
  pop r18
  pop r1
  pop r0
  leave
