/** A scenario to begin with: three days, a float that sticks, and hands that refill, measure and change water. */
export const EXAMPLE_SCENARIO = {
  name: "The working float sticks on the second day",
  hours: 72,
  room: { temperatureC: 22, swingC: 2, humidityPct: 50 },
  faults: [{ atH: 30, kind: "float-stuck", part: "working-float", value: "dry", untilH: 40 }],
  hands: [
    { atH: 44, do: "hand-test" },
    { atH: 50, do: "water-change", litres: 14, salinity: 35 },
    { atH: 60, do: "refill" },
  ],
} as const;
