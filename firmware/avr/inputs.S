/* What core/inputs.c does, for the ATmega328P: it runs in the interrupt, and a chattering wire calls for it each time. */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "core.h"
#include "safe.h"

.section .bss
.global inputs_on
inputs_on: .skip 1
invert:    .skip 1
.global inputs_counting
inputs_counting: .skip 1
count:     .skip INPUTS_MAX
lows:      .skip INPUTS_MAX

.section .text.inputs,"ax",@progbits
.global inputs_start
inputs_start:
  ldi r24, SAFE_INVERT
  call safe_u8
  sts invert, r24
  jmp share_start

/* r24 a number. Changes r25 and no other. */
.global input_mask
input_mask:
  andi r24, INPUTS_MAX - 1
  ldi r25, 1
1:
  dec r24
  brmi 2f
  lsl r25
  rjmp 1b
2:
  mov r24, r25
  ret

/* r24 a sample. Gives the inputs that flipped in r24. */
.global inputs_refresh
inputs_refresh:
  lds r18, invert
  eor r24, r18
  lds r18, share_wire
  tst r18
  breq 1f
  call share_refresh
1:
  lds r25, inputs_on
  eor r24, r25                       /* those that differ */
  lds r23, inputs_counting
  mov r22, r24
  or r22, r23
  brne 1f
  ret
1:
  push r28
  push r29
  ldi r28, lo8(count)
  ldi r29, hi8(count)
  lds r26, safe_block
  lds r27, safe_block + 1
  adiw r26, SAFE_ON
  clr r21                            /* those that flip */
  ldi r20, 1                         /* the input's bit */
each:
  lsr r22
  brcc next
  ldd r18, Y + 0
  mov r0, r24
  and r0, r20
  breq same
  std Y + (lows - count), r1
  movw r30, r26
  mov r0, r25
  and r0, r20
  breq 1f
  adiw r30, SAFE_OFF - SAFE_ON
1:
  lpm r0, Z
  inc r18
  cp r18, r0
  brlo counted
  or r21, r20
zero:
  clr r18
counted:
  std Y + 0, r18
  or r23, r20
  cpse r18, r1
  rjmp next
  eor r23, r20
next:
  adiw r28, 1
  adiw r26, 1
  lsl r20
  tst r22
  brne each
  sts inputs_counting, r23
  eor r25, r21
  sts inputs_on, r25
  mov r24, r21
  pop r29
  pop r28
  ret

same:                                /* its count survives a gap while it is off */
  mov r0, r25
  and r0, r20
  brne zero
  lds r30, safe_block
  lds r31, safe_block + 1
  mov r18, r28
  subi r18, lo8(count)
  bst r18, 0
  lsr r18
  adiw r30, SAFE_GAPS
  add r30, r18
  adc r31, r1
  lpm r18, Z
  brtc 1f
  swap r18
1:
  andi r18, 0x0F
  ldi r19, SAFE_GAP_UNIT
  mul r18, r19
  clr r1
  ldd r18, Y + (lows - count)
  cp r18, r0
  brsh zero
  inc r18
  std Y + (lows - count), r18
  rjmp next
