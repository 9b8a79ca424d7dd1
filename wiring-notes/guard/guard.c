#include "guard.h"

#include "board.h"

#define COUNTER_MASK 0x1FFFFFUL
#define HALF_OF_COUNTER 0x0FFFFFUL

static enum guard_state state;
static bool has_counter;
static uint32_t last_counter;
static uint16_t unfed_ms;
static uint8_t wanted;

/* Survives every reset but a loss of power, so that nobody runs the pump for longer by resetting the board. */
static struct {
  uint32_t known;
  uint16_t bin_ms[PUMP_BINS];
  uint16_t elapsed_ms;
  uint8_t bin;
  uint8_t free;
} pump __attribute__((section(".noinit")));
#define PUMP_KNOWN 0x5EA3A17EUL
/* Any other value counts as locked. */
#define PUMP_FREE 0x5A
#define PUMP_LOCKED 0xA5

static uint32_t pump_ms;

void guard_open(void) {
  if (pump.known != PUMP_KNOWN || pump.bin >= PUMP_BINS) {
    for (uint8_t bin = 0; bin < PUMP_BINS; bin++) pump.bin_ms[bin] = 0;
    pump.elapsed_ms = 0;
    pump.bin = 0;
    pump.free = PUMP_FREE;
    pump.known = PUMP_KNOWN;
  }
  pump_ms = 0;
  for (uint8_t bin = 0; bin < PUMP_BINS; bin++) pump_ms += pump.bin_ms[bin];
  guard_reset();
}

/* Relays by their level; guard contacts only fall here, since their pulse is made in `guard_millisecond`. */
static void apply(void) {
  uint8_t on = guard_outputs();
  uint8_t relays = (on ^ REST_LEVELS) & RELAYS;
  uint8_t closed_guards = PORTB & on & GUARDS;
  PORTB = (PORTB & (uint8_t)~OUTPUTS) | relays | closed_guards;
}

void guard_reset(void) {
  state = GUARD_UNARMED;
  has_counter = false;
  unfed_ms = 0;
  wanted = 0;
  apply();
}

void guard_feed(uint32_t counter) {
  if (state == GUARD_TRIPPED) return;
  uint32_t ahead = (counter - last_counter) & COUNTER_MASK;
  if (has_counter && (ahead == 0 || ahead > HALF_OF_COUNTER)) return;
  if (has_counter) state = GUARD_ARMED;
  has_counter = true;
  last_counter = counter;
  unfed_ms = 0;
}

void guard_want(uint8_t pins, uint8_t on) {
  if (state != GUARD_ARMED) return;
  wanted = (wanted & (uint8_t)~pins) | (on & pins & OUTPUTS);
  apply();
}

/* A welded relay pours while only the guard is closed, and the reverse: either of them counts as a running pump. */
static void count_pump(void) {
  if (guard_outputs() & PUMP_SIDE) {
    pump.bin_ms[pump.bin]++;
    pump_ms++;
    if (pump_ms >= PUMP_MOST_MS) pump.free = PUMP_LOCKED;
  }
  if (++pump.elapsed_ms < PUMP_BIN_MS) return;
  uint8_t next = pump.bin + 1 == PUMP_BINS ? 0 : pump.bin + 1;
  pump_ms -= pump.bin_ms[next];
  pump.bin_ms[next] = 0;
  pump.bin = next;
  pump.elapsed_ms = 0;
}

void guard_millisecond(void) {
  if (unfed_ms < TRIP_MS) unfed_ms++;
  if (unfed_ms == TRIP_MS) {
    has_counter = false;
    if (state == GUARD_ARMED) state = GUARD_TRIPPED;
    wanted = 0;
  }
  count_pump();
  apply();
  PORTB ^= guard_outputs() & GUARDS;
  if (state == GUARD_ARMED) PORTB |= LAMP;
  else PORTB &= (uint8_t)~LAMP;
}

enum guard_state guard_state(void) { return state; }

bool guard_pump_is_locked(void) { return pump.free != PUMP_FREE; }

uint8_t guard_outputs(void) {
  uint8_t on = state == GUARD_ARMED ? wanted : 0;
  return guard_pump_is_locked() ? on & (uint8_t)~PUMP_SIDE : on;
}
