import { describe, expect, it } from "vitest";
import { defaultTank, HEAT, hoursUntil, OFF, runFor, stillTank, waterC } from "./still-tank.ts";

/**
 * Worked heat figures of the reference tank: 140 L, 602 kJ/K, 11 W/K to the room and some 40 W of evaporation. The
 * coefficients of loss are *common practice*; the figures were reckoned with a straight line for evaporation where the
 * plant follows Shah, so hours agree within a tenth.
 */
const within = (share: number, value: number, expected: number) => Math.abs(value / expected - 1) <= share;

describe("cooling from 26 °C without heat", () => {
  const rows: [roomC: number, kPerH: number, hours: [to: number, hours: number][]][] = [
    [22, 0.5, []],
    [
      20,
      0.65,
      [
        [24, 3.6],
        [22, 8.8],
      ],
    ],
    [
      18,
      0.8,
      [
        [24, 2.8],
        [22, 6.6],
        [20, 12],
      ],
    ],
    [
      10,
      1.4,
      [
        [24, 1.6],
        [22, 3.4],
        [20, 5.5],
      ],
    ],
  ];

  it.each(rows)("room of %i °C: %f K/h at first, then the hours of the table", (roomC, kPerH, hours) => {
    const tank = stillTank(roomC);
    tank.apply(OFF, 600_000);
    expect(within(0.08, (26 - waterC(tank)) * 6, kPerH)).toBe(true);
    let atH = 1 / 6;
    for (const [to, expectedH] of hours) {
      atH += hoursUntil(tank, (celsius) => celsius <= to, 30);
      expect(within(0.13, atH, expectedH)).toBe(true);
    }
  });
});

describe("heater that cannot be switched off, from 26 °C in a room of 24 °C, return pump of 25 W", () => {
  const rows: [watts: number, hours: [to: number, hours: number][], endC: number][] = [
    [100, [[28, 6.7]], 30.3],
    [150, [[30, 8.2]], 33.4],
    [
      200,
      [
        [28, 2.2],
        [30, 5],
        [32, 8.8],
      ],
      36,
    ],
    [
      300,
      [
        [30, 2.9],
        [32, 4.6],
      ],
      42,
    ],
  ];

  it.each(rows)("%i W: reaches the temperatures in the hours of the table, ends a bit less", (heaterW, hours, endC) => {
    const tank = stillTank(24, { heaterW, returnPumpW: 25 });
    const { contacts, heaters } = tank.state;
    contacts["heater-1"].welded = true;
    contacts["heat-guard"].welded = true;
    heaters["heater-1"].thermostatStuck = true;
    let atH = 0;
    for (const [to, expectedH] of hours) {
      atH += hoursUntil(tank, (celsius) => celsius >= to, 30);
      expect(within(0.08, atH, expectedH)).toBe(true);
    }
    tank.apply(OFF, 120 * 3_600_000);
    // Far from 26 °C Shah's evaporation grows faster than a straight line, so the plant ends a little cooler.
    expect(waterC(tank)).toBeLessThan(endC);
    expect(waterC(tank)).toBeGreaterThan(endC - (heaterW > 200 ? 3 : 1.1));
  });
});

describe("the heater of the simulated tank", () => {
  it("200 W in 140 L, no evaporation: 1.2 K/h", () => {
    const tank = stillTank(26, { heaterW: 200 });
    tank.state.room.humidity = 1;
    tank.state.heaters["heater-1"].thermostatStuck = true;
    runFor(tank, 600, HEAT);
    expect((waterC(tank) - 26) * 6).toBeCloseTo(1.2, 1);
  });

  it("contacts welded for 12 h: its own thermostat holds 25.6 to 26.6 °C", () => {
    const tank = defaultTank();
    tank.state.contacts["heater-1"].welded = true;
    tank.state.contacts["heat-guard"].welded = true;
    tank.apply(OFF, 12 * 3_600_000);
    expect(tank.truth().temperatureMaxC).toBeGreaterThan(25.6);
    expect(tank.truth().temperatureMaxC).toBeLessThan(26.6);
  });

  it("return pump stopped: its chamber 1 K warmer than the rest after 10 min", () => {
    const tank = stillTank(22, { heaterW: 200 });
    tank.state.returnPump.stopped = true;
    tank.state.heaters["heater-1"].thermostatStuck = true;
    runFor(tank, 600, HEAT);
    expect(tank.state.heat.chamberC - waterC(tank)).toBeGreaterThan(1);
  });

  it("out of the water for 10 min: no heat, 600 s counted as dry", () => {
    const tank = stillTank(22, { heaterW: 200 });
    tank.state.heaters["heater-1"].uncovered = true;
    runFor(tank, 600, HEAT);
    expect(tank.truth().heaterDryS).toBeCloseTo(600, 5);
    expect(waterC(tank)).toBeLessThan(26);
  });

  it("command not renewed for 10 s: on for at most 1.25 s", () => {
    const tank = stillTank(22, { heaterW: 200 });
    tank.apply(HEAT, 250);
    tank.apply(null, 10_000);
    expect(tank.truth().heaterOnH * 3600).toBeLessThanOrEqual(1.25);
  });
});
