/* The judge: runs the portable core on the host and prints what it shows. Tests only.
 *
 * It reads a test vector (docs/image-format.md, section 5) from standard input and plays its safe-a, safe-b, image and run
 * lines; it passes over all others. It prints a registers line, and show lines without their last field: a core that leaves
 * words does not tell levels.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include "core.h"
#include "safe.h"

#define LINE_MAX_BYTES 65536

uint8_t flash[FLASH_BYTES];
uint8_t link_low;

struct picture {
	uint8_t pull, force[REGISTERS_MAX];
	uint8_t planes[PLANE_COUNT][PLANE_BYTES];
};

static void fail(const char *why, const char *line)
{
	fprintf(stderr, "judge: %s: %.60s\n", why, line);
	exit(2);
}

/* Puts bytes into flash; returns how many. */
static size_t store(uint16_t at, size_t limit, const char *hex)
{
	size_t n = 0;
	for (unsigned byte; sscanf(hex, "%2x", &byte) == 1; hex += 2) {
		if (n == limit)
			fail("too many bytes", hex);
		flash[at + n++] = (uint8_t)byte;
	}
	return n;
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
	for (; n; n--, refresh++) {
		struct picture now = picture();
		if (refresh == 0 || memcmp(&now, &last, sizeof now))
			put(refresh, &now);
		last = now;
		refresh_next(in, link);
		if (frame_ready())
			frame_job();
	}
}

int main(void)
{
	static char line[LINE_MAX_BYTES];
	size_t image = 0;
	uint8_t started = 0;
	memset(flash, 0xFF, sizeof flash);
	while (fgets(line, sizeof line, stdin)) {
		unsigned long n;
		unsigned in, link;
		if (!strncmp(line, "safe-a ", 7))
			store(SAFE_A_AT, SAFE_BYTES, line + 7);
		else if (!strncmp(line, "safe-b ", 7))
			store(SAFE_B_AT, SAFE_BYTES, line + 7);
		else if (!strncmp(line, "image ", 6))
			image += store((uint16_t)(IMAGE_AT + image), IMAGE_BYTES_MAX - image, line + 6);
		else if (sscanf(line, "run %lu %2x %u", &n, &in, &link) == 3) {
			if (!started) {
				core_start();
				printf("registers %u\n", safe_registers);
				started = 1;
			}
			run(n, (uint8_t)in, link != 0);
		}
	}
	if (!started)
		fail("no run", "");
	return 0;
}
