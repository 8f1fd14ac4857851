/* How long each plane shines: the timing contract of the refresh. Unit: processor cycles at 16 MHz (62.5 ns).
 *
 * One refresh is REFRESH_CYCLES long and shows nine planes: P0..P7 for the eight high bits of a duty, and S, one slot of
 * one unit that shows the three low bits in turn (see SUB_PATTERN in refresh.h). Eight refreshes are one frame of 4.000 ms.
 * The numbers are plain decimal so that other programs can read this file line by line.
 *
 * chain  Shown in the order P3 S P0 P1 P2 P4 P5 P6 P7. P3, S, P0, P1, P2 begin and end inside one interrupt and are exact.
 *        P4..P7 end at the next interrupt and are within the processor's interrupt delay of these values.
 *        STEP is the time from one latch to the next while eight registers are shifted: 3 + 7*18 + 18.
 *        An output at full duty is dark for DARK cycles a refresh, plus the slot S of phase 7.
 * pins   Shown in the order P1 S P0 P2 P3 P4 P5 P6 P7. P1, S, P0, P2, P3 are exact, the others as above. The planes follow each
 *        other without a gap.
 */
#ifndef WIDTHS_H
#define WIDTHS_H

#define REFRESH_CYCLES     8000
#define REFRESHES_A_FRAME  8

#define CHAIN_STEP         147
#define CHAIN_WIDTH_S      30
#define CHAIN_WIDTH_P0     30
#define CHAIN_WIDTH_P1     60
#define CHAIN_WIDTH_P2     120
#define CHAIN_WIDTH_P3     239
#define CHAIN_WIDTH_P4     478
#define CHAIN_WIDTH_P5     956
#define CHAIN_WIDTH_P6     1912
#define CHAIN_WIDTH_P7     3825
#define CHAIN_DARK         350

#define PINS_WIDTH_S       31
#define PINS_WIDTH_P0      31
#define PINS_WIDTH_P1      63
#define PINS_WIDTH_P2      125
#define PINS_WIDTH_P3      250
#define PINS_WIDTH_P4      500
#define PINS_WIDTH_P5      1000
#define PINS_WIDTH_P6      2000
#define PINS_WIDTH_P7      4000
#define PINS_DARK          0

#endif
