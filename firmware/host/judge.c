/* The judge: runs the portable core on the host and prints what it shows. Tests only.
 *
 * It reads a test vector (docs/image-format.md, section 5) from standard input, plays its samples, and passes over what it should
 * show. It prints a registers line, show lines without their last field (a core that leaves words does not tell levels), a
 * kept line, a left line, and wherever it changes `sleep REFRESH 0|1`: whether a port could sleep in place of that refresh.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include "core.h"
#include "safe.h"
#include "store.h"

#define LINE_MAX_BYTES 65536

uint8_t flash[FLASH_BYTES];
uint8_t eeprom[EEPROM_BYTES];
uint8_t link_low;
uint8_t strap = SIDE_MISSING;
uint8_t serial_fresh, serial_heard;

static uint8_t supply = 0x79, heat = 0xFF;    /* codes at the pins */
static uint8_t converted;

uint8_t sense_next(uint8_t job)
{
	uint8_t code = converted;
	converted = job & 1 ? supply : heat;
	return code;
}

struct picture {
	uint8_t pull, force[REGISTERS_MAX];
	uint8_t planes[PLANE_COUNT][PLANE_BYTES];
};

static void fail(const char *why, const char *line)
{
	fprintf(stderr, "judge: %s: %.60s\n", why, line);
	exit(2);
}

/* Puts bytes somewhere; returns how many. */
static size_t store(uint8_t *to, size_t limit, const char *hex)
{
	size_t n = 0;
	for (unsigned byte; sscanf(hex, "%2x", &byte) == 1; hex += 2) {
		if (n == limit)
			fail("too many bytes", hex);
		to[n++] = (uint8_t)byte;
	}
	return n;
}

static uint8_t side_of(const char *name)
{
	return !strncmp(name, "LH", 2) ? SIDE_LH : !strncmp(name, "RH", 2) ? SIDE_RH : SIDE_MISSING;
}

/* What the serial receiver does with a streamed frame. */
static void stream(const char *hex)
{
	uint8_t levels[OUTPUTS_LIMIT];
	size_t n = store(levels, sizeof levels, hex);
	uint8_t *to = live_levels();
	serial_heard = 1;
	if (to && n == 8u * safe_registers) {
		memcpy(to, levels, n);
		serial_fresh = 1;
	}
}

static struct picture picture(void)
{
	struct picture p;
	memset(&p, 0, sizeof p);
	p.pull = link_low;
	for (uint8_t r = 0; r < safe_registers; r++) {
		p.force[r] = force_now[r];
		for (uint8_t k = 0; k < PLANE_COUNT; k++)
			p.planes[k][r] = shown[PLANE_BYTES * k + r] | force_now[r];
	}
	return p;
}

static void put_bytes(const uint8_t *byte)
{
	putchar(' ');
	for (uint8_t r = 0; r < safe_registers; r++)
		printf("%02x", byte[r]);
}

static void put(unsigned long refresh, const struct picture *p)
{
	static const uint8_t order[PLANE_COUNT] = { 2, 1, 0, 3, 4, 5, 6, 7, 8, 9, 10 };
	printf("show %lu %u", refresh, p->pull);
	put_bytes(p->force);
	for (uint8_t k = 0; k < PLANE_COUNT; k++)
		put_bytes(p->planes[order[k]]);
	putchar('\n');
}

/* The refreshes of a run line. */
static void run(unsigned long n, uint8_t in, uint8_t link)
{
	static unsigned long refresh;
	static struct picture last;
	static uint8_t rested, may_sleep;        /* after the job whose result is shown, and after the one behind it as well */
	for (; n; n--, refresh++) {
		struct picture now = picture();
		if (refresh == 0 || memcmp(&now, &last, sizeof now))
			put(refresh, &now);
		last = now;
		refresh_next(in, link);
		if (frame_ready()) {
			frame_job();
			uint8_t may = rested && core_may_sleep();
			if (may != may_sleep)
				printf("sleep %lu %u\n", refresh + 1, may);
			may_sleep = may;
			rested = core_may_sleep();
		}
	}
}

static void start(void)
{
	converted = supply;
	core_start();
	printf("registers %u\n", safe_registers);
}

static void put_kept(void)
{
	while (store_waits)
		store_step();
	printf("kept ");
	for (uint8_t i = 0; i < EEPROM_BYTES; i++)
		printf("%02x", eeprom[i]);
	printf("\nleft %02x%02x\n", store_note.units, store_note.check);
}

int main(void)
{
	static char line[LINE_MAX_BYTES], live[LINE_MAX_BYTES];
	size_t image = 0;
	uint8_t started = 0;
	memset(flash, 0xFF, sizeof flash);
	memset(eeprom, 0xFF, sizeof eeprom);
	while (fgets(line, sizeof line, stdin)) {
		unsigned long n;
		unsigned in, link;
		if (!strncmp(line, "safe-a ", 7))
			store(flash + SAFE_A_AT, SAFE_BYTES, line + 7);
		else if (!strncmp(line, "safe-b ", 7))
			store(flash + SAFE_B_AT, SAFE_BYTES, line + 7);
		else if (!strncmp(line, "image ", 6))
			image += store(flash + IMAGE_AT + image, IMAGE_BYTES_MAX - image, line + 6);
		else if (!strncmp(line, "memory ", 7))
			store(eeprom, sizeof eeprom, line + 7);
		else if (!strncmp(line, "remnant ", 8))
			store((uint8_t *)&store_note, sizeof store_note, line + 8);
		else if (!strncmp(line, "strap ", 6))
			strap = side_of(line + 6);
		else if (!strncmp(line, "supply ", 7))
			store(&supply, 1, line + 7);
		else if (!strncmp(line, "heat ", 5))
			store(&heat, 1, line + 5);
		else if (!strncmp(line, "live ", 5))
			strcpy(live, line + 5);
		else if (sscanf(line, "run %lu %2x %u", &n, &in, &link) == 3) {
			if (!started)
				start();
			started = 1;
			if (*live)
				stream(live);
			*live = 0;
			run(n, (uint8_t)in, link != 0);
		}
	}
	if (!started)
		fail("no run", "");
	put_kept();
	return 0;
}
