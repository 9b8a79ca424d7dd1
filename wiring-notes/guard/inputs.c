#include "inputs.h"

#include <avr/io.h>

#include "board.h"

#define LAMP_PIN 13

static uint8_t modes[PINS];
static uint16_t analog[ANALOG_CHANNELS];
static uint8_t channel;
static uint8_t conversions;

struct place {
  volatile uint8_t *direction, *port, *pin;
  uint8_t bit;
};

static struct place place_of(uint8_t pin) {
  if (pin < 8) return (struct place){&DDRD, &PORTD, &PIND, (uint8_t)_BV(pin)};
  if (pin < FIRST_ANALOG_PIN) return (struct place){&DDRB, &PORTB, &PINB, (uint8_t)_BV(pin - 8)};
  return (struct place){&DDRC, &PORTC, &PINC, (uint8_t)_BV(pin - FIRST_ANALOG_PIN)};
}

static bool is_output(uint8_t pin) { return pin >= FIRST_OUTPUT_PIN && pin < FIRST_OUTPUT_PIN + OUTPUT_PINS; }

bool inputs_can(uint8_t pin, uint8_t mode) {
  if (pin < 2 || pin >= PINS) return false;
  if (is_output(pin)) return mode == MODE_OUTPUT;
  if (pin == LAMP_PIN) return false;
  return mode == MODE_INPUT || mode == MODE_PULLUP || (mode == MODE_ANALOG && pin >= FIRST_ANALOG_PIN);
}

void inputs_reset(void) {
  for (uint8_t pin = 0; pin < PINS; pin++) {
    modes[pin] = is_output(pin) ? MODE_OUTPUT : MODE_NONE;
    inputs_set_mode(pin, pin < FIRST_ANALOG_PIN ? MODE_PULLUP : MODE_INPUT);
  }
  ADMUX = _BV(REFS0);
  ADCSRA = _BV(ADEN) | _BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0);
}

void inputs_set_mode(uint8_t pin, uint8_t mode) {
  if (!inputs_can(pin, mode) || mode == MODE_OUTPUT) return;
  struct place at = place_of(pin);
  *at.direction &= (uint8_t)~at.bit;
  modes[pin] = mode;
  inputs_pull_up(pin, mode == MODE_PULLUP);
}

uint8_t inputs_mode(uint8_t pin) { return pin < PINS ? modes[pin] : MODE_NONE; }

void inputs_pull_up(uint8_t pin, bool on) {
  if (!inputs_can(pin, MODE_INPUT) || (on && modes[pin] == MODE_ANALOG)) return;
  struct place at = place_of(pin);
  if (on) *at.port |= at.bit;
  else *at.port &= (uint8_t)~at.bit;
}

bool inputs_has_pull_up(uint8_t pin) {
  struct place at = place_of(pin);
  return (*at.port & at.bit) != 0;
}

/* The protocol counts eight pins to a port, whatever port of the chip they are on. */
uint8_t inputs_port(uint8_t port) {
  uint8_t levels = port == 0 ? PIND : port == 1 ? (PINB & 0x3F) | (uint8_t)(PINC << 6) : (PINC & 0x3F) >> 2;
  for (uint8_t index = 0; index < 8; index++) {
    uint8_t mode = inputs_mode(port * 8 + index);
    if (mode != MODE_INPUT && mode != MODE_PULLUP) levels &= (uint8_t)~_BV(index);
  }
  return levels;
}

uint16_t inputs_analog(uint8_t wanted) { return analog[wanted]; }

void inputs_run(void) {
  if (ADCSRA & _BV(ADSC)) return;
  /* The first conversion after a change of channel still carries the channel before. */
  if (conversions == 2) {
    analog[channel] = ADC;
    channel = channel + 1 == ANALOG_CHANNELS ? 0 : channel + 1;
    ADMUX = _BV(REFS0) | channel;
    conversions = 0;
  }
  conversions++;
  ADCSRA |= _BV(ADSC);
}
