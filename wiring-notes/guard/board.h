/* What is fixed when the firmware is built, and can be read but never written over the line. */
#ifndef BOARD_H
#define BOARD_H

#include <avr/io.h>
#include <stdint.h>

/* Pins of an Uno. All outputs share one port, so that they fall together. */
#define PUMP_RELAY_PIN 8
#define WATER_GUARD_PIN 9
#define HEATER_RELAY_PIN 10
#define HEAT_GUARD_PIN 11
#define SECOND_RELAY_PIN 12
#define SECOND_GUARD_PIN 13
#define FIRST_OUTPUT_PIN 8
/* `make SECOND_HEATER=1`: two more outputs, for which the lamp gives up its pin. */
#ifndef SECOND_HEATER
#define SECOND_HEATER 0
#endif
#define OUTPUT_PINS (SECOND_HEATER ? 6 : 4)

#define PUMP_RELAY _BV(PB0)
#define WATER_GUARD _BV(PB1)
#define HEATER_RELAY _BV(PB2)
#define HEAT_GUARD _BV(PB3)
#define SECOND_RELAY (SECOND_HEATER ? _BV(PB4) : 0)
#define SECOND_GUARD (SECOND_HEATER ? _BV(PB5) : 0)
#define LAMP (SECOND_HEATER ? 0 : _BV(PB5))

#define PUMP_SIDE (PUMP_RELAY | WATER_GUARD)
#define GUARDS (WATER_GUARD | HEAT_GUARD | SECOND_GUARD)
#define RELAYS (PUMP_RELAY | HEATER_RELAY | SECOND_RELAY)
#define OUTPUTS (RELAYS | GUARDS)

/* Level of each relay's pin at which its contact is open: `make PUMP_REST=1` for a relay that a low level energises.
   Guard pins carry a pulse while closed and rest low: there is nothing to choose. */
#ifndef PUMP_REST
#define PUMP_REST 0
#endif
#ifndef HEATER_REST
#define HEATER_REST 0
#endif
#ifndef SECOND_HEATER_REST
#define SECOND_HEATER_REST 0
#endif
#define REST_LEVELS \
  ((uint8_t)((PUMP_REST ? PUMP_RELAY : 0) | (HEATER_REST ? HEATER_RELAY : 0) | (SECOND_HEATER_REST ? SECOND_RELAY : 0)))

/* Without a valid guard message for this long every output goes to rest, and stays there until a system reset. */
#define TRIP_MS 2000
/* The pump runs at most 60 s in any ten minutes. Counted in bins of ten seconds, one more than fill ten minutes.
   Only a test that has no ten minutes builds it with shorter seconds. */
#ifndef SECOND_MS
#define SECOND_MS 1000UL
#endif
#define PUMP_MOST_S 60
#define PUMP_MOST_MS (PUMP_MOST_S * SECOND_MS)
#define PUMP_BIN_MS (10 * SECOND_MS)
#define PUMP_BINS 61
/* Every input is sampled and told at this rate, and at once when one of them flips, but not more often than `FLIP_MS`. */
#define REPORT_MS 50
#define FLIP_MS 5

#define PINS 20
#define FIRST_ANALOG_PIN 14
#define ANALOG_CHANNELS 6
#define PORTS 3

#endif
