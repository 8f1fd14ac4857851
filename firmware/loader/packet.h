/* Packets: A5, command, N, N bytes, check high byte, check low byte (docs/loading.md, section 1). */
#ifndef LOADER_PACKET_H
#define LOADER_PACKET_H
#include <stdint.h>

#define PACKET_MARK      0xA5
#define PACKET_MAX       134     /* bytes of payload */
#define PACKET_ANSWER    0x80    /* added to the command */
#define PACKET_GAP       8       /* refreshes, or looks, without a byte: what was begun is dropped */

#define COMMAND_READ     0x01
#define COMMAND_ENTER    0x02
#define COMMAND_LIVE     0x03
#define COMMAND_PAGE     0x04
#define COMMAND_LEAVE    0x05

#define READ_BYTES       3       /* payload: address, count */
#define READ_MAX         64      /* bytes of flash in one answer */
#define FLASH_BYTES      0x8000u
#define KEY_BYTES        6
#define KEY_AT           8       /* in the image's header: kit number, lamp number */

#define BAUD_DIVIDER     103     /* 16 MHz / 8 / (103 + 1) = 19 231 baud, 0.16 % more than 19 200 */

/* CRC-16, polynomial 1021, no reflection, over command, N and payload. A packet with its check gives 0. */
#define PACKET_CRC_INITIAL 0xFFFF
uint16_t packet_crc(uint16_t crc, uint8_t byte);

#define IN_LOADER __attribute__((section(".loader")))
#define IN_LOADER_OUT_OF_LINE __attribute__((section(".loader"), noinline))

#endif
