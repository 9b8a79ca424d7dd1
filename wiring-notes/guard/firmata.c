#include "firmata.h"

#include "board.h"
#include "guard.h"
#include "inputs.h"
#include "line.h"

enum message {
  DIGITAL_MESSAGE = 0x90,
  REPORT_ANALOG = 0xC0,
  REPORT_DIGITAL = 0xD0,
  ANALOG_MESSAGE = 0xE0,
  START_SYSEX = 0xF0,
  SET_PIN_MODE = 0xF4,
  SET_DIGITAL_PIN = 0xF5,
  END_SYSEX = 0xF7,
  REPORT_VERSION = 0xF9,
  SYSTEM_RESET = 0xFF,
};

enum sysex {
  OURS = 0x0E, /* 0x01 to 0x0F are left to users by the protocol */
  ANALOG_MAPPING_QUERY = 0x69,
  ANALOG_MAPPING_RESPONSE = 0x6A,
  CAPABILITY_QUERY = 0x6B,
  CAPABILITY_RESPONSE = 0x6C,
  PIN_STATE_QUERY = 0x6D,
  PIN_STATE_RESPONSE = 0x6E,
  REPORT_FIRMWARE = 0x79,
};

enum ours { FEED = 1, DESCRIBE = 2, REPORT = 3 };

enum role {
  PUMP_RELAY_ROLE = 1,
  WATER_GUARD_ROLE = 2,
  HEATER_RELAY_ROLE = 3,
  HEAT_GUARD_ROLE = 4,
  SECOND_RELAY_ROLE = 5,
  SECOND_GUARD_ROLE = 6,
};

#define PROTOCOL_MAJOR 2
#define PROTOCOL_MINOR 6
#define FIRMWARE_MAJOR 1
#define FIRMWARE_MINOR 0
static const char NAME[] = "guard firmware";

/* The longest that is understood is the feed: six bytes between start and end. Longer ones are dropped whole. */
#define LONGEST_SYSEX 8
static uint8_t sysex[LONGEST_SYSEX];
static uint8_t sysex_length;
static bool in_sysex;
/* A message of two data bytes, or of one, while it comes in. */
static uint8_t command, data_wanted, data_count, data[2];

static uint8_t told_ports, told_channels;
static uint16_t report_counter;
static uint16_t since_report_ms;
static uint8_t last_levels[PORTS];
static bool hung_before;

/* CRC-7, x7 + x3 + 1, from 0: "123456789" gives 0x75. */
static uint8_t crc7(uint8_t crc, uint8_t byte) {
  for (uint8_t bit = 0; bit < 8; bit++) {
    uint8_t carry = (crc & 0x40) != 0;
    crc = (uint8_t)(crc << 1);
    if (((byte & 0x80) != 0) != carry) crc ^= 0x09;
    byte = (uint8_t)(byte << 1);
  }
  return crc & 0x7F;
}

static void put_ours(const uint8_t *bytes, uint8_t length) {
  uint8_t crc = 0;
  line_put(START_SYSEX);
  line_put(OURS);
  for (uint8_t index = 0; index < length; index++) {
    line_put(bytes[index]);
    crc = crc7(crc, bytes[index]);
  }
  line_put(crc);
  line_put(END_SYSEX);
}

static void put_14_bits(uint8_t head, uint16_t value) {
  line_put(head);
  line_put(value & 0x7F);
  line_put((value >> 7) & 0x7F);
}

static void put_version(void) {
  if (!line_has_room(3)) return;
  line_put(REPORT_VERSION);
  line_put(PROTOCOL_MAJOR);
  line_put(PROTOCOL_MINOR);
}

static void put_firmware(void) {
  if (!line_has_room(5 + 2 * sizeof NAME)) return;
  line_put(START_SYSEX);
  line_put(REPORT_FIRMWARE);
  line_put(FIRMWARE_MAJOR);
  line_put(FIRMWARE_MINOR);
  for (const char *letter = NAME; *letter; letter++) {
    line_put(*letter & 0x7F);
    line_put(0);
  }
  line_put(END_SYSEX);
}

static void put_capabilities(void) {
  if (!line_has_room(PINS * 7 + 3)) return;
  line_put(START_SYSEX);
  line_put(CAPABILITY_RESPONSE);
  for (uint8_t pin = 0; pin < PINS; pin++) {
    static const uint8_t offered[] = {MODE_INPUT, 1, MODE_OUTPUT, 1, MODE_ANALOG, 10, MODE_PULLUP, 1};
    for (uint8_t index = 0; index < sizeof offered; index += 2) {
      if (!inputs_can(pin, offered[index])) continue;
      line_put(offered[index]);
      line_put(offered[index + 1]);
    }
    line_put(0x7F);
  }
  line_put(END_SYSEX);
}

static void put_analog_mapping(void) {
  if (!line_has_room(PINS + 3)) return;
  line_put(START_SYSEX);
  line_put(ANALOG_MAPPING_RESPONSE);
  for (uint8_t pin = 0; pin < PINS; pin++) line_put(pin < FIRST_ANALOG_PIN ? 0x7F : pin - FIRST_ANALOG_PIN);
  line_put(END_SYSEX);
}

static void put_pin_state(uint8_t pin) {
  if (pin >= PINS || !line_has_room(6)) return;
  uint8_t mode = inputs_mode(pin);
  uint8_t output = (uint8_t)_BV(pin & 7);
  bool energised = (guard_outputs() & output) != 0;
  /* The level of a relay's pin; of a guard contact's, whether its pulse is being made. */
  bool high = energised != ((REST_LEVELS & output) != 0);
  line_put(START_SYSEX);
  line_put(PIN_STATE_RESPONSE);
  line_put(pin);
  line_put(mode);
  line_put(mode == MODE_OUTPUT ? high : mode == MODE_NONE ? 0 : inputs_has_pull_up(pin));
  line_put(END_SYSEX);
}

static void put_description(void) {
  const uint8_t bytes[] = {
      DESCRIBE, FIRMWARE_MAJOR, TRIP_MS / 100, PUMP_MOST_S, REPORT_MS,
      PUMP_RELAY_PIN, PUMP_RELAY_ROLE, PUMP_REST, WATER_GUARD_PIN, WATER_GUARD_ROLE, 0,
      HEATER_RELAY_PIN, HEATER_RELAY_ROLE, HEATER_REST, HEAT_GUARD_PIN, HEAT_GUARD_ROLE, 0,
#if SECOND_HEATER
      SECOND_RELAY_PIN, SECOND_RELAY_ROLE, SECOND_HEATER_REST, SECOND_GUARD_PIN, SECOND_GUARD_ROLE, 0,
#endif
  };
  if (line_has_room(sizeof bytes + 4)) put_ours(bytes, sizeof bytes);
}

static void put_report(void) {
  since_report_ms = 0;
  report_counter++;
  for (uint8_t port = 0; port < PORTS; port++) {
    last_levels[port] = inputs_port(port);
    if ((told_ports & _BV(port)) && line_has_room(3)) put_14_bits(DIGITAL_MESSAGE | port, last_levels[port]);
  }
  for (uint8_t channel = 0; channel < ANALOG_CHANNELS; channel++) {
    if ((told_channels & _BV(channel)) && line_has_room(3)) put_14_bits(ANALOG_MESSAGE | channel, inputs_analog(channel));
  }
  const uint8_t bytes[] = {
      REPORT,
      report_counter & 0x7F,
      (report_counter >> 7) & 0x7F,
      (uint8_t)(guard_state() | (guard_pump_is_locked() ? 4 : 0) | (hung_before ? 8 : 0)),
      guard_outputs(),
      last_levels[0] & 0x7F,
      (uint8_t)(last_levels[0] >> 7) | ((uint8_t)(last_levels[1] << 1) & 0x7F),
      (uint8_t)(last_levels[1] >> 6) | (uint8_t)(last_levels[2] << 2),
  };
  if (line_has_room(sizeof bytes + 4)) put_ours(bytes, sizeof bytes);
}

void firmata_open(bool after_hang) {
  hung_before = after_hang;
  put_version();
  put_firmware();
}

static void system_reset(void) {
  guard_reset();
  inputs_reset();
  told_ports = 0;
  told_channels = 0;
}

/* Output pins get their level, inputs their pull-up. */
static void write_port(uint8_t port, uint8_t levels) {
  if (port == 1) guard_want(OUTPUTS, levels ^ REST_LEVELS);
  if (port >= PORTS) return;
  for (uint8_t index = 0; index < 8; index++) {
    if (inputs_mode(port * 8 + index) == MODE_INPUT) inputs_pull_up(port * 8 + index, levels & _BV(index));
  }
}

static void write_pin(uint8_t pin, bool high) {
  if (inputs_can(pin, MODE_OUTPUT)) {
    uint8_t output = (uint8_t)_BV(pin & 7);
    guard_want(output, (high ? output : 0) ^ (REST_LEVELS & output));
  } else if (inputs_mode(pin) == MODE_INPUT) inputs_pull_up(pin, high);
}

static void obey_sysex(void) {
  switch (sysex[0]) {
    case OURS: {
      if (sysex_length == 2 && sysex[1] == DESCRIBE) put_description();
      if (sysex_length != 6 || sysex[1] != FEED) return;
      uint8_t crc = 0;
      for (uint8_t index = 1; index < 5; index++) crc = crc7(crc, sysex[index]);
      if (crc == sysex[5]) guard_feed(sysex[2] | (uint32_t)sysex[3] << 7 | (uint32_t)sysex[4] << 14);
      return;
    }
    case CAPABILITY_QUERY:
      put_capabilities();
      return;
    case ANALOG_MAPPING_QUERY:
      put_analog_mapping();
      return;
    case PIN_STATE_QUERY:
      if (sysex_length == 2) put_pin_state(sysex[1]);
      return;
    case REPORT_FIRMWARE:
      put_firmware();
      return;
  }
}

static void obey(void) {
  uint8_t channel = command & 0x0F;
  if (command == SET_PIN_MODE) inputs_set_mode(data[0], data[1]);
  else if (command == SET_DIGITAL_PIN) write_pin(data[0], data[1] & 1);
  else if ((command & 0xF0) == DIGITAL_MESSAGE) write_port(channel, data[0] | (uint8_t)(data[1] << 7));
  else if ((command & 0xF0) == REPORT_DIGITAL && channel < PORTS) {
    if (data[0]) told_ports |= _BV(channel);
    else told_ports &= (uint8_t)~_BV(channel);
  } else if ((command & 0xF0) == REPORT_ANALOG && channel < ANALOG_CHANNELS) {
    if (data[0]) told_channels |= _BV(channel);
    else told_channels &= (uint8_t)~_BV(channel);
  }
}

/* A byte of 0x80 or more always begins something new: what was incomplete is forgotten. */
static void begin(uint8_t byte) {
  bool ended_sysex = in_sysex && byte == END_SYSEX;
  in_sysex = byte == START_SYSEX;
  data_wanted = 0;
  data_count = 0;
  if (ended_sysex) {
    if (sysex_length > 0 && sysex_length <= LONGEST_SYSEX) obey_sysex();
    return;
  }
  sysex_length = 0;
  command = byte;
  uint8_t kind = byte < 0xF0 ? byte & 0xF0 : byte;
  if (kind == SYSTEM_RESET) system_reset();
  else if (kind == REPORT_VERSION) put_version();
  else if (kind == DIGITAL_MESSAGE || kind == SET_PIN_MODE || kind == SET_DIGITAL_PIN) data_wanted = 2;
  else if (kind == REPORT_DIGITAL || kind == REPORT_ANALOG) data_wanted = 1;
}

void firmata_take(uint8_t byte) {
  if (byte & 0x80) {
    begin(byte);
  } else if (in_sysex) {
    if (sysex_length < LONGEST_SYSEX) sysex[sysex_length] = byte;
    if (sysex_length <= LONGEST_SYSEX) sysex_length++;
  } else if (data_count < data_wanted) {
    data[data_count++] = byte;
    if (data_count < data_wanted) return;
    data_wanted = 0;
    obey();
  }
}

void firmata_millisecond(void) {
  since_report_ms++;
  bool flipped = false;
  for (uint8_t port = 0; port < PORTS; port++) flipped |= inputs_port(port) != last_levels[port];
  if (since_report_ms >= REPORT_MS || (flipped && since_report_ms >= FLIP_MS)) put_report();
}
