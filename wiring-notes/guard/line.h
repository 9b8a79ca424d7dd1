/* The serial line, polled: nothing in this firmware runs on an interrupt. */
#ifndef LINE_H
#define LINE_H

#include <stdbool.h>
#include <stdint.h>

void line_open(void);
/* The next byte from the host; false = there is none. */
bool line_take(uint8_t *byte);
/* Whether a message of that length fits now. A message that does not fit is not begun: half of one would be noise. */
bool line_has_room(uint8_t bytes);
void line_put(uint8_t byte);
/* Sends on what waits. */
void line_run(void);

#endif
