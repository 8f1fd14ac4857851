/* Idle: counts how long there has been nothing to do, and so says when the module may sleep (docs/engine.md, section 10). Main side. */
#ifndef IDLE_H
#define IDLE_H
#include "core.h"

/* One frame, after the machine and the image check. busy: not 0 while something goes on that the layers do not tell. */
void idle_step(uint8_t busy);

#endif
