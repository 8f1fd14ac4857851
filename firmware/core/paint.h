/* Painting: a layer gives its outputs their levels. Main side.
 *
 * entry: address in flash of the layer's entry, judged at job 0 (check.h). levels: OUTPUTS_LIMIT of them.
 */
#ifndef PAINT_H
#define PAINT_H
#include "core.h"

void paint_still(uint16_t entry, uint8_t *levels);     /* a still layer: from its table */
void paint_fades(uint16_t entry, uint8_t *levels);     /* a moving layer: from its fades */

#endif
