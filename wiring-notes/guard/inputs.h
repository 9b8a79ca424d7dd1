/* The inputs: pins that are no outputs, sampled every millisecond, told at a fixed rate. */
#ifndef INPUTS_H
#define INPUTS_H

#include <stdbool.h>
#include <stdint.h>

/* Numbers of the Firmata protocol. */
enum pin_mode { MODE_INPUT = 0x00, MODE_OUTPUT = 0x01, MODE_ANALOG = 0x02, MODE_PULLUP = 0x0B, MODE_NONE = 0x7F };

void inputs_reset(void);
bool inputs_can(uint8_t pin, uint8_t mode);
/* Does nothing where the pin cannot. */
void inputs_set_mode(uint8_t pin, uint8_t mode);
uint8_t inputs_mode(uint8_t pin);
/* Switches a pull-up, as the protocol does by writing to an input. */
void inputs_pull_up(uint8_t pin, bool on);
bool inputs_has_pull_up(uint8_t pin);
/* Levels of the eight pins of a port that are digital inputs now; 0 for all others. */
uint8_t inputs_port(uint8_t port);
/* The newest conversion, 0 to 1023. */
uint16_t inputs_analog(uint8_t channel);
/* Carries on with the conversions. */
void inputs_run(void);

#endif
