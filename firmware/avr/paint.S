/* What core/paint.c does, for the ATmega328P. */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "core.h"
#include "image.h"
#include "layout.h"

.section .text.paint,"ax",@progbits

/* Z: a layer's entry. Gives its slots in r22, its first fade in X, its slot map's address in r19:r18, and
 * leaves 0 in r1. Z comes back at LAYER_MAP + 1. */
.global read_entry
read_entry:
  adiw r30, LAYER_SLOTS
  lpm r22, Z+
  lpm r18, Z+
  ldi r19, FADE_BYTES
  mul r18, r19
  movw r26, r0
  clr r1
  subi r26, lo8(-(fades))
  sbci r27, hi8(-(fades))
  lpm r18, Z+
  lpm r19, Z
  subi r19, hi8(-(IMAGE_AT))
  ret

/* The output's level in the array that begins at r21:r20. r26: an output number, taken modulo OUTPUTS_LIMIT. */
.macro point_at_level
  andi r26, OUTPUTS_LIMIT - 1
  clr r27
  add r26, r20
  adc r27, r21
.endm

/* r25:r24 entry, r23:r22 levels. */
.global paint_still
paint_still:
  movw r20, r22
  movw r30, r24
  rcall read_entry
  adiw r30, LAYER_STAY - LAYER_MAP - 1
  lpm r24, Z+
  lpm r25, Z
  subi r25, hi8(-(IMAGE_AT))
1:
  movw r30, r18
  lpm r26, Z+
  movw r18, r30
  movw r30, r24
  lpm r23, Z+
  movw r24, r30
  point_at_level
  st X, r23
  dec r22
  brne 1b
  ret

/* r25:r24 entry, r23:r22 levels. */
.global paint_fades
paint_fades:
  push r28
  push r29
  movw r20, r22
  movw r30, r24
  rcall read_entry
  movw r28, r26
  movw r30, r18
1:
  lpm r26, Z+
  point_at_level
  ldd r18, Y + FADE_CUR + 1
  st X, r18
  adiw r28, FADE_BYTES
  dec r22
  brne 1b
  pop r29
  pop r28
  ret
