/* The module image in flash (docs/image-format.md, section 3): reads, and where things stand in it. */
#ifndef IMAGE_H
#define IMAGE_H
#include "core.h"

#define IMAGE_VERSION    2

/* Offsets in the header, bytes. */
#define HEAD_VERSION     2
#define HEAD_ROLE        3
#define HEAD_LENGTH      4
#define HEAD_REGISTERS   6
#define HEAD_LAYERS      7
#define HEAD_SIDE        14
#define HEAD_PACER       15
#define HEAD_OTHER       18      /* offset of the other hand's header */
#define HEAD_LOW         20
#define HEAD_WARM        21
#define HEAD_HOT         22
#define HEAD_SLEEP       23
#define HEAD_LIVE        24
#define HEAD_BYTES       32

/* Bits of HEAD_ROLE. */
#define ROLE_WALK        0x01
#define ROLE_LINK(role)  ((uint8_t)((role) >> 1 & 3))
#define ROLE_STRAP       0x08    /* the side strap must say HEAD_SIDE */
#define ROLE_FED         0x10    /* the module is fed by its turn wire */
#define LIVE_ALLOWED     0x01

/* Offsets in a layer entry, bytes. */
#define LAYER_BYTES      32
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
#define LAYER_NOT_WHILE  30
#define LAYER_ONLY_WHILE 31

/* Bits of LAYER_FLAGS. */
#define IS_SHOW          0x01
#define IS_STILL         0x02
#define IS_FAST          0x04
#define IS_ENDED_BY      0x08    /* ends when a signal takes one of its outputs */
#define IS_LINKED        0x10
#define IS_PACED         0x20
#define IS_PACER_1       0x40

#ifndef __ASSEMBLER__
/* Set at job 0 (check.h), then constant. */
extern uint16_t image_length;    /* bytes, check included */
extern uint16_t first_entry;     /* address in flash of the first layer's entry, right behind the header that rules; the others follow */
extern uint8_t image_role;       /* HEAD_ROLE of the header that rules */

/* A byte, or a word, at an offset. Flash has a byte at every address, so no offset can do harm; whether what stands there
 * means anything is asked once, at job 0 (check.h), and by the player for its code. */
static inline uint8_t image_u8(uint16_t at) { return flash_u8(IMAGE_AT + at); }
static inline uint16_t image_u16(uint16_t at) { return flash_u16(IMAGE_AT + at); }

/* A byte of the header that rules. */
uint8_t head_u8(uint8_t at);

/* A show that the link wire keeps in step: linked, with a stay of at least a second. */
uint8_t image_linked(uint16_t entry);

#endif
#endif
