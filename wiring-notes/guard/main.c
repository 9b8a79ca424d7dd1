/* Guard firmware for an Uno (ATmega328P): outputs that rest unless a healthy scan keeps feeding it. See README.md. */
#include <avr/io.h>
#include <avr/wdt.h>

#include "board.h"
#include "firmata.h"
#include "guard.h"
#include "inputs.h"
#include "line.h"

static uint8_t reset_cause __attribute__((section(".noinit")));

/* The very first instructions after a reset, before memory is cleared: levels first and directions after, so that no
   pin passes through the wrong level; and the watchdog, which may still run, gets its usual time. */
__attribute__((naked, used, section(".init3"))) void rest_at_once(void) {
  PORTB = REST_LEVELS;
  DDRB = OUTPUTS | LAMP;
  reset_cause = MCUSR;
  MCUSR = 0;
  wdt_enable(WDTO_500MS);
}

/* The clock: 16 microseconds a tick, read by the loop, wraps after a second, which the watchdog never lets pass. */
static void clock_open(void) { TCCR1B = _BV(CS12); }

static uint8_t milliseconds_since(uint16_t *last, uint16_t *rest) {
  uint16_t now = TCNT1;
  uint16_t ticks = now - *last;
  *last = now;
  uint32_t halves = *rest + 2UL * ticks;
  uint8_t milliseconds = 0;
  while (halves >= 125 && milliseconds < 255) {
    halves -= 125;
    milliseconds++;
  }
  *rest = (uint16_t)halves;
  return milliseconds;
}

int main(void) {
  clock_open();
  line_open();
  inputs_reset();
  guard_open();
  firmata_open((reset_cause & _BV(WDRF)) != 0);
  uint16_t last = 0, rest = 0;
  for (;;) {
    uint8_t byte;
    if (line_take(&byte)) firmata_take(byte);
    line_run();
    inputs_run();
    for (uint8_t passed = milliseconds_since(&last, &rest); passed > 0; passed--) {
      guard_millisecond();
      firmata_millisecond();
    }
    wdt_reset();
  }
}
