/* The module image in flash (docs/image-format.md, section 3): reads, and where things stand in it. */
#ifndef IMAGE_H
#define IMAGE_H
#include "core.h"

/* Offsets in the header, bytes. */
#define HEAD_VERSION     2
#define HEAD_ROLE        3
#define HEAD_LENGTH      4
#define HEAD_REGISTERS   6
#define HEAD_LAYERS      7
#define HEAD_PACER       15
#define HEAD_BYTES       20
#define ROLE_WALK        0x01
#define ROLE_LINK(role)  ((uint8_t)((role) >> 1 & 3))

/* Offsets in a layer entry, bytes. */
#define LAYER_BYTES      30
#define LAYER_FLAGS      0
#define LAYER_INPUTS     1
#define LAYER_SLOTS      2
#define LAYER_FADE       3
#define LAYER_MAP        4
#define LAYER_ARRIVE     6
#define LAYER_STAY       8
#define LAYER_LEAVE      10
#define LAYER_WINDOW     12
#define LAYER_KEEP       14
#define LAYER_LIMIT      16
#define LAYER_ARRIVE_N   18
#define LAYER_STAY_N     20
#define LAYER_TAKES      22

/* Bits of LAYER_FLAGS. */
#define IS_SHOW          0x01
#define IS_STILL         0x02
#define IS_FAST          0x04
#define IS_ENDED_BY      0x08    /* ends when a signal takes one of its outputs */
#define IS_LINKED        0x10
#define IS_PACED         0x20
#define IS_PACER_1       0x40

/* Address in flash of the first layer's entry; the others follow. Entries are read with flash_u8 and flash_u16. */
#define FIRST_ENTRY (IMAGE_AT + HEAD_BYTES)

#ifndef __ASSEMBLER__
extern uint16_t image_length;    /* bytes, check included; valid once the header has been found sane. Main side. */

/* A byte, or a word, at an offset. Flash has a byte at every address, so no offset can do harm; whether what stands there
 * means anything is asked once, at job 0 (check.h), and by the player for its code. */
static inline uint8_t image_u8(uint16_t at) { return flash_u8(IMAGE_AT + at); }
static inline uint16_t image_u16(uint16_t at) { return flash_u16(IMAGE_AT + at); }

/* A show that the link wire keeps in step: linked, with a stay of at least a second. */
uint8_t image_linked(uint16_t entry);

#endif
#endif
