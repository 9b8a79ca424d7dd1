/** What is set of a box whose parts hang on an emulated board: measures of no water, and waits that nobody has to serve. */
export const WORKBENCH = {
  bench: { waitsDividedBy: 100, shorterWaitsAccepted: "an emulated board: nothing hangs on its pins" },
  tank: {
    netVolumeL: 140,
    lastChamberM2: 0.02,
    pumpOffLevelMm: 60,
    highFloatMm: 70,
    freeVolumePumpOffL: 10.5,
    freeVolumeWeirBlockedL: 4.4,
  },
  // A weak pump, so that one pour lasts for long and many charge little.
  topOff: {
    provenFlowLPerMin: 0.1,
    coastMl: 0,
    sliceMl: 20,
    confirmS: 10,
    settleS: 10,
    restS: 30,
    evaporationLPerDay: 2,
    dailyBudgetL: 10,
    reservoirL: 4,
    largeReservoir: {
      because: "a workbench: no water is poured",
      noSiphon: "air-gap",
      highFloatInSeries: true,
      displayGuard: "no-weir",
    },
  },
} as const;
