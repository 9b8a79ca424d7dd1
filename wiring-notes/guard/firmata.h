/* The Firmata protocol, version 2.6, as far as this board speaks it; and three messages of our own. */
#ifndef FIRMATA_H
#define FIRMATA_H

#include <stdbool.h>
#include <stdint.h>

/* Says who it is, as the protocol wants it after a start. `after_hang`: the watchdog ended the run before. */
void firmata_open(bool after_hang);
void firmata_take(uint8_t byte);
/* Called once a millisecond: tells the inputs when it is time. */
void firmata_millisecond(void);

#endif
