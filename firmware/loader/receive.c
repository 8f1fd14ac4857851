/* The receiver that works beside the lamps: at most one byte in and one byte out a refresh, in the interrupt.
 *
 * A byte takes 521 us at 19 200 baud and a refresh 500, so none is missed, and the sender's buffer never runs dry in an answer.
 * Payload goes straight to where it is used: levels to the held levels, all else to a few bytes of its own, or nowhere.
 */
#include "loader.h"
#include "packet.h"
#include "safe.h"

volatile uint8_t serial_fresh;
volatile uint8_t serial_heard;
volatile uint8_t serial_enter;

enum { HUNT, COMMAND, LENGTH, BODY };

/* Of the packet that is coming in. */
static uint8_t expects;          /* what the next byte is */
static uint8_t gap;              /* refreshes since the last byte */
static uint8_t command;          /* 0: none of ours, its bytes are passed over */
static uint8_t left;             /* bytes of payload and check to come */
static uint16_t crc;
static uint8_t *to;              /* where payload goes; 0: nowhere */
static uint8_t request[KEY_BYTES];

/* Of the answer that is going out. */
enum { SILENT, OPENING, SAY_COMMAND, SAY_LENGTH, SAY_BYTES, SAY_CHECK_HIGH, SAY_CHECK_LOW, CLOSING };
static uint8_t says;             /* what the next byte is */
static uint8_t answer_left;      /* bytes of flash to come */
static uint16_t answer_at;       /* address in flash of the next one */
static uint16_t answer_crc;

IN_LOADER void serial_start(void)
{
	UBRR0 = BAUD_DIVIDER;
	UCSR0A = 1 << U2X0;
	UCSR0C = 1 << UCSZ01 | 1 << UCSZ00;
	UCSR0B = 1 << RXEN0;
}

/* The transmitter drives its pin only while there is something to say: on the pins board the pin is quiet otherwise. It is
 * switched on a refresh before the first byte, so that the line is seen idle. */
IN_LOADER static void say(void)
{
	uint8_t byte;
	if (says == CLOSING) {
		if (UCSR0A & 1 << TXC0) {
			UCSR0B &= (uint8_t)~(1 << TXEN0);
			says = SILENT;
		}
		return;
	}
	if (!(UCSR0A & 1 << UDRE0))
		return;
	switch (says) {
	case OPENING:
		byte = PACKET_MARK;
		break;
	case SAY_COMMAND:
		byte = COMMAND_READ | PACKET_ANSWER;
		answer_crc = PACKET_CRC_INITIAL;
		break;
	case SAY_LENGTH:
		byte = answer_left;
		break;
	case SAY_BYTES:
		byte = pgm_read_byte(answer_at++);
		if (--answer_left)
			says--;
		break;
	default:                                /* once the high byte has gone through the check, the low one is on top */
		byte = answer_crc >> 8;
	}
	says++;
	UDR0 = byte;
	UCSR0A = 1 << TXC0 | 1 << U2X0;         /* behind the write: so it can only mean this byte's end */
	answer_crc = packet_crc(answer_crc, byte);
}

/* A packet came whole and right. */
IN_LOADER static void obey(void)
{
	if (command == COMMAND_LIVE) {
		serial_fresh = 1;
	} else if (command == COMMAND_READ) {
		uint8_t n = request[2];
		uint16_t at = request[0] | request[1] << 8;
		if (says != SILENT || (uint8_t)(n - 1) >= READ_MAX || at > FLASH_BYTES - n)
			return;
		answer_at = at;
		answer_left = n;
		says = OPENING;
		UCSR0B |= 1 << TXEN0;
	} else if (command == COMMAND_ENTER) {
		uint16_t header = ruling_header();
		for (uint8_t i = 0; i < KEY_BYTES; i++)
			if (request[i] != (header ? pgm_read_byte(header + KEY_AT + i) : 0xFF))
				return;
		serial_enter = 1;
	}
}

/* Finds out what to do with a packet's payload. */
IN_LOADER static void place(uint8_t n)
{
	to = request;
	if (command == COMMAND_LIVE && n == (uint8_t)(8 * safe_registers)) {
		to = live_levels();
		if (to)
			return;
	} else if ((command == COMMAND_READ && n == READ_BYTES) || (command == COMMAND_ENTER && n == KEY_BYTES)) {
		return;
	}
	command = 0;
	to = 0;
}

IN_LOADER static void take(uint8_t byte)
{
	switch (expects) {
	case HUNT:
		if (byte == PACKET_MARK) {
			crc = PACKET_CRC_INITIAL;
			expects = COMMAND;
		}
		return;
	case COMMAND:
		command = byte;
		expects = LENGTH;
		break;
	case LENGTH:
		if (byte > PACKET_MAX) {
			expects = HUNT;
			return;
		}
		left = byte + 2;
		place(byte);
		expects = BODY;
		break;
	default:
		if (left > 2 && to)
			*to++ = byte;
		left--;
	}
	uint16_t now = packet_crc(crc, byte);
	crc = now;
	if (expects == BODY && left == 0) {
		expects = HUNT;
		if (now == 0)
			obey();
	}
}

IN_LOADER void serial_refresh(void)
{
	uint8_t status = UCSR0A;
	if (status & 1 << RXC0) {
		uint8_t byte = UDR0;
		gap = 0;
		if (status & 1 << FE0) {                /* a break, or the link wire's pulls on the pins board */
			expects = HUNT;
		} else {
			serial_heard = 1;
			take(byte);
		}
	} else if (expects != HUNT && ++gap >= PACKET_GAP) {
		expects = HUNT;
		gap = 0;
	}
	if (says != SILENT) {
		serial_heard = 1;
		say();
	}
}
