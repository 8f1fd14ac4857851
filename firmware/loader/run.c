/* The loader: has the processor to itself, writes flash pages from packets, and does the plain signals while it waits.
 *
 * Nothing here calls or reads what lies below the loader's section once the first page is being written. Flash up to 0x6FFF can
 * be written while the processor runs on; for pages above, which hold the end of a long image and copy B of the safe block,
 * it stands still, 4.5 ms at most each for erasing and writing (ATmega328P data sheet, self-programming).
 *
 * All of its memory is on the stack, which begins anew at the top: the core's variables are given up.
 */
#include <avr/boot.h>
#include <avr/interrupt.h>
#include <avr/wdt.h>
#include "board.h"
#include "loader.h"
#include "work.h"

#define PAGE_BYTES       SPM_PAGESIZE
#define FIRST_PAGE       SAFE_A_AT       /* copy A, the image and copy B follow each other */
#define LAST_PAGE        SAFE_B_AT
#define STANDS_STILL_AT  0x7000          /* from here on the processor stands still while a page is erased or written */
#define QUIET_LOOKS      6000            /* without a right packet: 3 s */

enum { WRITTEN, NO_SUCH_PAGE, DIFFERS };

/* Shows the signals until the watchdog, which nobody calms any more, starts the module again. */
IN_LOADER static void leave(void) __attribute__((noreturn));
IN_LOADER static void leave(void)
{
	for (;;)
		signals_when_due();
}

/* To be called while waiting for anything. */
IN_LOADER_OUT_OF_LINE static void meanwhile(void)
{
	wdt_reset();
	if (!signals_when_due())
		return;
	work->gap++;
	if (++work->quiet >= QUIET_LOOKS)
		leave();
}

/* The next byte of a packet; of the first one without a limit of time. */
IN_LOADER_OUT_OF_LINE static uint8_t next(uint8_t first)
{
	work->gap = 0;
	while (!work->lost) {
		meanwhile();
		uint8_t status = UCSR0A;
		if (status & 1 << RXC0) {
			uint8_t byte = UDR0;
			if (status & 1 << FE0)
				break;
			work->crc = packet_crc(work->crc, byte);
			return byte;
		}
		if (!first && work->gap >= PACKET_GAP)
			break;
	}
	work->lost = 1;
	return 0;
}

IN_LOADER_OUT_OF_LINE static void put(uint8_t byte)
{
	while (!(UCSR0A & 1 << UDRE0))
		meanwhile();
	UDR0 = byte;
	work->crc = packet_crc(work->crc, byte);
}

IN_LOADER_OUT_OF_LINE static void begin_answer(uint8_t command, uint8_t n)
{
	put(PACKET_MARK);
	work->crc = PACKET_CRC_INITIAL;
	put(command | PACKET_ANSWER);
	put(n);
}

IN_LOADER_OUT_OF_LINE static void end_answer(void)
{
	put(work->crc >> 8);
	put(work->crc >> 8);             /* the low byte is on top now */
}

/* Lets the flash finish what it was told. */
IN_LOADER_OUT_OF_LINE static void let_flash_finish(uint16_t address)
{
	if (address >= STANDS_STILL_AT) {
		signals_catch_up();
		wdt_reset();
	}
	while (boot_spm_busy())
		meanwhile();
}

IN_LOADER static uint8_t write_page(uint16_t address, const uint8_t *bytes)
{
	if (address % PAGE_BYTES || address < FIRST_PAGE || address > LAST_PAGE)
		return NO_SUCH_PAGE;
	while (EECR & 1 << EEPE)         /* the core's last byte of memory: the flash waits for it, and would be told in vain */
		meanwhile();
	boot_page_erase(address);
	let_flash_finish(address);
	for (uint8_t i = 0; i < PAGE_BYTES; i += 2)
		boot_page_fill(address + i, bytes[i] | bytes[i + 1] << 8);
	boot_page_write(address);
	let_flash_finish(address);
	boot_rww_enable();
	for (uint8_t i = 0; i < PAGE_BYTES; i++)
		if (pgm_read_byte(address + i) != bytes[i])
			return DIFFERS;
	return WRITTEN;
}

IN_LOADER static void obey(uint8_t command, uint8_t n)
{
	const uint8_t *p = work->payload;
	uint16_t address = p[0] | p[1] << 8;
	uint8_t status;
	switch (command) {
	case COMMAND_READ:
		n = p[2];
		if (n < 1 || n > READ_MAX || address > FLASH_BYTES - n)
			return;
		begin_answer(COMMAND_READ, n);
		for (; n; n--)
			put(pgm_read_byte(address++));
		break;
	case COMMAND_PAGE:
		status = write_page(address, p + 2);
		begin_answer(COMMAND_PAGE, 1);
		put(status);
		break;
	default:
		begin_answer(command, 0);
	}
	end_answer();
	if (command == COMMAND_LEAVE)
		leave();
}

/* Tells whether a command has the payload that it needs. No switch: the compiler would make a table of it, below the loader. */
IN_LOADER static uint8_t is_whole(uint8_t command, uint8_t n)
{
	if (command == COMMAND_PAGE)
		return n == 2 + PAGE_BYTES;
	if (command == COMMAND_READ)
		return n == READ_BYTES;
	if (command == COMMAND_ENTER)
		return n == KEY_BYTES;
	return command == COMMAND_LEAVE && n == 0;
}

__attribute__((section(".loader"), noreturn, used)) static void take_over(void)
{
	wdt_enable(WDTO_60MS);
	link_release();
	signals_start();
	work->quiet = 0;
	UCSR0B = 1 << RXEN0 | 1 << TXEN0;
	begin_answer(COMMAND_ENTER, 0);
	end_answer();
	for (;;) {
		work->lost = 0;
		if (next(1) != PACKET_MARK)
			continue;
		work->crc = PACKET_CRC_INITIAL;
		uint8_t command = next(0);
		uint8_t n = next(0);
		if (n > PACKET_MAX)
			continue;
		for (uint8_t i = 0; i < n; i++)
			work->payload[i] = next(0);
		next(0);
		next(0);
		if (work->lost || work->crc)
			continue;
		work->quiet = 0;
		if (is_whole(command, n))
			obey(command, n);
	}
}

__attribute__((section(".loader"), naked)) void loader_run(void)
{
	__asm__ volatile(
		"cli\n\t"
		"ldi r28, lo8(%0)\n\t"
		"ldi r29, hi8(%0)\n\t"
		"out __SP_H__, r29\n\t"
		"out __SP_L__, r28\n\t"
		"adiw r28, 1\n\t"
		"clr __zero_reg__\n\t"
		"rjmp take_over"
		:: "i" (RAMEND - sizeof(struct work)));
}
