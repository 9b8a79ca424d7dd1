#include "line.h"

#include <avr/io.h>

/* As long as a byte counts, so that the indices wrap by themselves. */
static uint8_t waiting[256];
static uint8_t first, past_last;

void line_open(void) {
  /* 57,600 baud from 16 MHz, 0.8 % slow. */
  UCSR0A = _BV(U2X0);
  UBRR0 = 34;
  UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
  UCSR0B = _BV(RXEN0) | _BV(TXEN0);
}

bool line_take(uint8_t *byte) {
  uint8_t status = UCSR0A;
  if (!(status & _BV(RXC0))) return false;
  *byte = UDR0;
  return !(status & (_BV(FE0) | _BV(DOR0)));
}

bool line_has_room(uint8_t bytes) { return (uint8_t)(first - past_last - 1) >= bytes; }

void line_put(uint8_t byte) { waiting[past_last++] = byte; }

void line_run(void) {
  if (first != past_last && (UCSR0A & _BV(UDRE0))) UDR0 = waiting[first++];
}
