/* What the outputs may do: nothing before the guard is fed, nothing after it has tripped, the pump within its bound. */
#ifndef GUARD_H
#define GUARD_H

#include <stdbool.h>
#include <stdint.h>

enum guard_state { GUARD_UNARMED = 0, GUARD_ARMED = 1, GUARD_TRIPPED = 2 };

/* Looks at what the pump has run before the reset. */
void guard_open(void);
/* By SYSTEM_RESET from the host: everything to rest, and a trip is forgotten. The bound of the pump is not. */
void guard_reset(void);
/* A guard message with the scan's counter, 21 bits. Two that advance arm it; the same one twice feeds nothing. */
void guard_feed(uint32_t counter);
/* Which outputs are wanted on, as bits of their port. Ignored while not armed. */
void guard_want(uint8_t pins, uint8_t on);
/* Called once a millisecond, from the main loop alone: time passes, and the pulse of the guard contacts is made here. */
void guard_millisecond(void);

enum guard_state guard_state(void);
bool guard_pump_is_locked(void);
/* Which outputs are on. */
uint8_t guard_outputs(void);

#endif
