/* What this flash holds: for the tool, and for a core that asks whether the loader is its own. */
#include "loader.h"

#ifdef BOARD_CHAIN
#define BOARD 1
#else
#define BOARD 2
#endif

const uint8_t core_mark[16] __attribute__((section(".mark"))) = { 'L', 'W', 'c', 'o', 'r', 'e', CORE_VERSION, 0, BOARD };
