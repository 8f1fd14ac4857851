/* Refresh interrupt for a chain of eight-bit power shift registers. Widths and order of planes: widths.h.
 *
 * Four interrupts a refresh. Each begins by latching what the previous one shifted, so the light changes at a fixed offset
 * from the interrupt. The first (burst) shows five short planes and darkens each by /G at its exact width while the next one
 * is being shifted; the others shift one plane and go. The last one also asks the core what comes next.
 *
 * Eight bytes are always shifted, whatever the length of the chain: a shorter chain passes the excess on and out. So every
 * board has the same widths, and one proof covers all lengths. (Shifting fewer would free processor time only where the
 * main loop has the least to do.)
 *
 * SPI at fosc/2 is not polled. A byte takes 18 cycles: never less between two writes, or between a write and a latch.
 */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "board.h"
#include "widths.h"
#include "cycles.inc"

#define HANDLER_LO GPIOR0            /* word address of the code for the next interrupt */
#define HANDLER_HI GPIOR1
#define SET_END(plane) (((plane) + 1) * PLANE_BYTES)   /* bytes leave last first: pointers start behind a plane */
#define SUB_2 2
#define P(n) (3 + (n))

.section .bss
s_end:    .skip 2                    /* behind the plane that the coming slot S shows */
no_light: .skip PLANE_BYTES          /* what S shows in its dark phase; never written */

.section .text.refresh,"ax",@progbits

/* Next byte of the plane, OR the forced bits, into r24. 5 cycles. Z and X run down, from behind the plane and behind
 * force_now. */
.macro fetch
  c2 ld r24, -Z
  c2 ld r25, -X
  c1 or r24, r25
.endm

/* Sends the next byte. Takes 18 cycles with its call, the time that a byte needs: call after call keeps the SPI busy. */
.set SEND_BEFORE, 9                  /* cycles from the call to the end of the write */
.set SEND_AFTER, 9                   /* and from there to the return */
send_one:
  ld r24, -Z
  ld r25, -X
  or r24, r25
  out SPDR, r24
  rjmp .+0
  rjmp .+0
  nop
wait_seven:
  ret

/* Sends the next byte so that the write ends at `moment`: by the subroutine, or in line when `off` is too near for that. */
.macro send moment, off
  .if (\off) >= 0 && (\off) > (\moment) - SEND_BEFORE && (\off) - 2 < (\moment) + SEND_AFTER
    wait_until (\moment) - 6
    fetch
    c1 out SPDR, r24
  .else
    wait_until (\moment) - SEND_BEFORE
    rcall send_one
    .set now, (\moment) + SEND_AFTER
  .endif
.endm

/* Bytes 6..0, the first to be written at `first`. With `off` the light goes out at exactly that moment, in between. The last
 * byte is sent in line, so that there is time for what follows. */
.macro send_rest first, off=-1
  .set first_write, \first
  .set byte, 6
  .set dark_left, (\off) >= 0
  .rept 7
    .set moment, first_write + 18 * (6 - byte)
    .if dark_left && ((\off) <= moment - 6)
      wait_until (\off) - 2
      c2 sbi PORTB, BLANK_BIT
      .set dark_left, 0
    .endif
    .if byte
      send moment, \off
    .else
      send moment, moment
    .endif
    .set byte, byte - 1
  .endr
  .if dark_left
    wait_until (\off) - 2
    c2 sbi PORTB, BLANK_BIT
  .endif
.endm

/* Sends a plane that will shine for long; nothing is exact there but the 18 cycles a byte. The next interrupt is set on the
 * way, which takes long enough. */
.macro send_long plane, width, next
  pointer shown, SET_END(\plane)
  point_at_force
  fetch
  out SPDR, r24
  next_interrupt_after \width
  next_interrupt_is \next
  .if NEXT_AFTER_CYCLES + NEXT_INTERRUPT_CYCLES + SEND_BEFORE < 18
    .error "the second byte comes too soon"
  .endif
  .rept 7
    rcall send_one
  .endr
.endm

.macro point_at_force
  ldi r26, lo8(force_now + PLANE_BYTES)
  ldi r27, hi8(force_now + PLANE_BYTES)
.endm
.set POINT_CYCLES, 2

.macro pointer from, offset
  lds r30, \from
  lds r31, \from + 1
  .if \offset
    subi r30, lo8(-(\offset))
    sbci r31, hi8(-(\offset))
  .endif
.endm

.macro next_interrupt_is handler
  ldi r24, lo8(pm(\handler))
  out HANDLER_LO, r24
  ldi r24, hi8(pm(\handler))
  out HANDLER_HI, r24
.endm
.set NEXT_INTERRUPT_CYCLES, 4

.macro enter
  push r24
  push r25
  push r26
  push r27
.endm
.set ENTER_CYCLES, 8

leave:
  pop r27
  pop r26
  pop r25
  pop r24
  pop r31
  pop r30
  out SREG, r30
  pop r30
  reti

.global TIMER1_COMPA_vect
TIMER1_COMPA_vect:
  sbi PORTB, LATCH_BIT               /* the light changes here: moment 0 of every handler */
  cbi PORTB, LATCH_BIT
  push r30
  in r30, SREG
  push r30
  push r31
  in r30, HANDLER_LO
  in r31, HANDLER_HI
  ijmp
.set ENTERED, 13

/* From one latch to the next: the plane in the latches shines for `width` while another leaves, whose byte 7 waits in r24.
 * /G opens 2 cycles after the latch. In the wait after the last byte the plane that follows is fetched: it ends plane_gap
 * bytes behind the start of the one that left. */
.macro step width, plane_gap
  zero
  c2 cbi PORTB, BLANK_BIT
  c1 out SPDR, r24
  c2 cbi PORTB, LATCH_BIT
  send_rest 21, 2 + \width
  c2 adiw r30, \plane_gap
  c2 adiw r26, PLANE_BYTES
  fetch
  wait_until CHAIN_STEP - 2
  c2 sbi PORTB, LATCH_BIT
.endm

burst:
  zero
  .set now, ENTERED                  /* P3 shines */
  enter
  lds r30, s_end
  lds r31, s_end + 1
  point_at_force
  .set now, now + ENTER_CYCLES + 4 + POINT_CYCLES
  fetch
  c1 out SPDR, r24                   /* S leaves */
  send_rest now + 18
  .set last_write, now
  next_interrupt_after (CHAIN_WIDTH_P3 + 4 * CHAIN_STEP + 2 + CHAIN_WIDTH_P4)
  .set now, now + NEXT_AFTER_CYCLES
  next_interrupt_is show_p5
  .set now, now + NEXT_INTERRUPT_CYCLES
  pointer shown, SET_END(P(0))
  point_at_force
  .set now, now + 6 + POINT_CYCLES
  fetch
  .if CHAIN_WIDTH_P3 - last_write < 18
    .error "P3 ends before S has left"
  .endif
  wait_until CHAIN_WIDTH_P3 - 2
  c2 sbi PORTB, LATCH_BIT            /* P3 ends and S begins without a gap: /G stays open */

  zero
  c2 cbi PORTB, LATCH_BIT
  c1 out SPDR, r24                   /* P0 leaves */
  send_rest 21, CHAIN_WIDTH_S
  c2 adiw r30, 2 * PLANE_BYTES       /* from the start of one plane to the end of the next */
  c2 adiw r26, PLANE_BYTES
  fetch
  wait_until CHAIN_STEP - 2
  c2 sbi PORTB, LATCH_BIT

  step CHAIN_WIDTH_P0, 2 * PLANE_BYTES    /* P1 leaves, P2 follows */
  step CHAIN_WIDTH_P1, 3 * PLANE_BYTES    /* P2 leaves, P4 follows */
  step CHAIN_WIDTH_P2, 2 * PLANE_BYTES    /* P4 leaves, P5 follows */

  zero                               /* P4 shines from moment 2 and stays */
  c2 cbi PORTB, BLANK_BIT
  c1 out SPDR, r24                   /* P5 leaves */
  c2 cbi PORTB, LATCH_BIT
  send_rest 21
  rjmp leave

/* A long plane shines; the next one leaves. */
.macro long_plane name, leaving, width, next
\name:
  enter
  send_long \leaving, \width, \next
  rjmp leave
.endm

  long_plane show_p5, P(6), CHAIN_WIDTH_P5, show_p6
  long_plane show_p6, P(7), CHAIN_WIDTH_P6, show_p7

/* P7 shines: sample, ask the core, prepare S, shift P3 of the coming refresh. */
.global show_p7
show_p7:
  enter
  push r0
  push r1
  push r18
  push r19
  push r20
  push r21
  push r22
  push r23
  clr r1                             /* the compiler counts on it */
  in r24, PINC                       /* each port is read once a refresh */
  in r22, PIND
  andi r24, 0x3f
  bst r22, IN7_BIT
  bld r24, 6
  bst r22, IN8_BIT
  bld r24, 7
  bst r22, LINK_BIT
  clr r22
  bld r22, 0
  call refresh_next                  /* gives the phase of the coming refresh */

  /* S takes sub2 in even phases, sub1 in 1 and 5, sub0 in 3, nothing in 7: one plane back for each low bit set. */
  lds r30, shown
  lds r31, shown + 1
  adiw r30, SET_END(SUB_2)
  sbrs r24, 0
  rjmp 1f
  sbiw r30, PLANE_BYTES
  sbrs r24, 1
  rjmp 1f
  sbiw r30, PLANE_BYTES
  sbrs r24, 2
  rjmp 1f
  ldi r30, lo8(no_light + PLANE_BYTES)
  ldi r31, hi8(no_light + PLANE_BYTES)
1:
  sts s_end, r30
  sts s_end + 1, r31

  send_long P(3), CHAIN_WIDTH_P7, burst
  pop r23
  pop r22
  pop r21
  pop r20
  pop r19
  pop r18
  pop r1
  pop r0
  rjmp leave
