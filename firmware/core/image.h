/* The module image in flash (docs/image-format.md, section 3): bounded reads, and where things stand in it. */
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

extern uint16_t image_length;    /* bytes, check included; 0 until the header has been found sane. Main side. */

/* The byte at an offset below image_length; else 0. */
uint8_t image_u8(uint16_t at);
uint16_t image_u16(uint16_t at);

/* The byte at any offset: for code that has checked the offset itself. */
#define image_raw(at) flash_u8((uint16_t)(IMAGE_AT + (at)))

/* n when the n bytes from an offset lie inside the image, else 0. */
uint8_t image_holds(uint16_t at, uint8_t n);

/* Offset of the entry of a layer. */
static inline uint16_t layer_entry(uint8_t layer) { return HEAD_BYTES + (uint16_t)LAYER_BYTES * layer; }

/* A show that the link wire keeps in step: linked, with a stay of at least a second. */
uint8_t image_linked(uint16_t entry);

#endif
