import * as c from "../../../../shared/chemistry/index.ts";
import * as u from "../../../../shared/units/index.ts";
import * as kinds from "../../values/kinds.ts";
import { allow, ask, defineCalculator, makeResult, presume, refuseOutside } from "../calculator.ts";
import { MAGNUS, MASS_BALANCE, MEMBRANE, PENMAN, POOL, SEA_RANGE, SHAH, TDS_FACTOR } from "../sources.ts";

export const waterChange = defineCalculator({
  name: "water-change",
  purpose: "what water changes leave of anything dissolved",
  asks: {
    now: ask(kinds.milligramsPerLitre, "in the tank"),
    new: presume(kinds.milligramsPerLitre, "in the new water", "0mg/L"),
    share: allow(kinds.share, "changed each time"),
    times: presume(kinds.plain, "how often", "1"),
    target: allow(kinds.milligramsPerLitre, "wanted, to calculate how many changes it takes"),
    stream: allow(kinds.volume, "or new water that runs through, mixing all the time"),
    volume: allow(kinds.volume, "net volume of the tank, for a stream"),
  },
  calculate: ({ now, new: fresh, share, times, target, stream, volume }) => {
    if ((share === undefined) === (stream === undefined)) {
      return { refused: "Bucket by bucket or in a stream? Add either --share 20% or --stream 50L." };
    }
    if (stream !== undefined) {
      if (volume === undefined) return { refused: "A stream through how much water? Add --volume 140L." };
      const left = c.afterContinuousExchange(now, fresh, stream, volume);
      if (left === null) return refuseOutside("a stream", "amounts of 0 or more");
      return { results: [makeResult("left after the stream", left, "mg/L", 3)], why: [MASS_BALANCE] };
    }
    const left = times === 1 ? c.afterOneChange(now, fresh, share!) : c.afterChanges(now, fresh, share!, times);
    if (left === null) return refuseOutside("water changes", "0 to 100 %, a whole number of times");
    const changes = target === undefined ? undefined : c.changesNeeded(now, fresh, target, share!);
    if (changes === null)
      return { refused: "This new water never brings the tank to that target, however often it is changed." };
    return {
      results: [
        makeResult(`left after ${times} change${times === 1 ? "" : "s"}`, left, "mg/L", 3),
        ...(changes === undefined ? [] : [makeResult("changes until the target", Math.ceil(changes - 1e-9), "", 0)]),
      ],
      why: [MASS_BALANCE],
    };
  },
});

export const netVolume = defineCalculator({
  name: "net-volume",
  purpose: "how much water a tank really holds, from a known mass dissolved in it",
  asks: {
    added: ask(kinds.mass, "dissolved in the tank"),
    before: presume(kinds.gramsPerLitre, "its concentration before", "0g/L"),
    after: ask(kinds.gramsPerLitre, "its concentration afterwards, well mixed"),
  },
  calculate: ({ added, before, after }) => {
    const volume = c.netVolumeByDilution(u.gramsFromKilograms(added), before, after);
    if (volume === null) return refuseOutside("dilution", "a mass above 0 and a concentration that rose");
    return {
      results: [
        makeResult("net volume", volume, "L", 1),
        makeResult("the same", u.usGallonsFromLitres(volume), "US gal", 1),
      ],
      why: [MASS_BALANCE],
    };
  },
});

const openWaterAsks = {
  area: ask(kinds.area, "of the open surface"),
  temp: ask(kinds.temperature, "of the water"),
  salinity: presume(kinds.salinity, "of the water", "35SP"),
  air: ask(kinds.temperature, "of the room"),
  humidity: ask(kinds.share, "relative, of the room"),
  speed: presume(kinds.speed, "of the air over the water", "0.1m/s"),
};

export const evaporation = defineCalculator({
  name: "evaporation",
  purpose: "water that an open surface loses in a day, as a band of three formulas",
  asks: openWaterAsks,
  calculate: ({ area, temp, salinity, air, humidity, speed }) => {
    const open = { surface: area, waterC: temp, SP: salinity, airC: air, humidity, airSpeed: speed };
    const band = c.evaporationBand(open);
    if (band === null) return refuseOutside("the formulas", `${SEA_RANGE}, humidity 0 to 100 %`);
    return {
      results: [
        makeResult("evaporation, from", band.lowest, "L/d", 2),
        makeResult("evaporation, to", band.highest, "L/d", 2),
        makeResult("pool formula", band.pool, "L/d", 2),
        makeResult("Shah, still air", band.shah, "L/d", 2),
        makeResult("Penman", band.penman, "L/d", 2),
      ],
      why: [POOL, SHAH, PENMAN, MAGNUS],
      notes: ["A cover, a lamp or a draught moves a tank out of the band."],
    };
  },
});

export const vapourPressure = defineCalculator({
  name: "vapour-pressure",
  purpose: "vapour pressure over water, and in the air of a room",
  asks: {
    temp: ask(kinds.temperature, "of the water and, unless told otherwise, of the air"),
    salinity: presume(kinds.salinity, "of the water", "0SP"),
    humidity: allow(kinds.share, "relative, of the air"),
    air: allow(kinds.temperature, "of the air"),
  },
  calculate: ({ temp, salinity, humidity, air }) => {
    const over = c.seaWaterVapourPressure(temp, salinity);
    const inAir = humidity === undefined ? undefined : c.airVapourPressure(air ?? temp, humidity);
    if (over === null || inAir === null) return refuseOutside("the Magnus form", `${SEA_RANGE}, humidity 0 to 100 %`);
    return {
      results: [
        makeResult("vapour pressure over the water", over, "kPa", 4),
        ...(inAir === undefined ? [] : [makeResult("vapour pressure in the air", inAir, "kPa", 4)]),
      ],
      why: [MAGNUS],
    };
  },
});

export const membrane = defineCalculator({
  name: "membrane",
  purpose: "what a reverse osmosis membrane makes at its temperature and pressure",
  asks: {
    rated: ask(kinds.flow, "of the membrane at 25 °C"),
    ratedPressure: presume(kinds.pressure, "at which it was rated", "50psi"),
    ratedTds: presume(kinds.tds, "at which it was rated", "250mg/L"),
    temp: ask(kinds.temperature, "of the feed water"),
    feed: ask(kinds.pressure, "of the feed"),
    back: presume(kinds.pressure, "behind the membrane", "0bar"),
    tds: presume(kinds.tds, "of the feed water", "250mg/L"),
    fill: allow(kinds.volume, "to fill, to calculate how long that takes"),
  },
  calculate: ({ rated, ratedPressure, ratedTds, temp, feed, back, tds, fill }) => {
    const flow = c.membraneFlow(
      { flow: rated, pressure: ratedPressure, tds: ratedTds },
      { feed, back, tds, t90C: temp },
    );
    const slower = c.temperatureCorrection(temp);
    if (flow === null || slower === null) return refuseOutside("a membrane", "0 to 45 °C, pressures of 0 or more");
    if (fill !== undefined && !(fill >= 0)) return refuseOutside("a volume", "0 or more");
    return {
      results: [
        makeResult("product", flow, "L/h", 2),
        makeResult("the same", u.usGallonsPerDayFromLitresPerHour(flow), "US gal/d", 1),
        makeResult("times slower than at 25 °C", slower, "", 3),
        ...(fill === undefined || flow === 0 ? [] : [makeResult("time to fill", fill / flow, "h", 1)]),
      ],
      why: [MEMBRANE],
      notes: flow === 0 ? ["The feed pressure does not overcome what stands against it: nothing passes."] : [],
    };
  },
});

export const rejection = defineCalculator({
  name: "rejection",
  purpose: "how much of the dissolved content a membrane holds back",
  asks: {
    feed: ask(kinds.smallConductivity, "of the feed water, at one temperature"),
    product: ask(kinds.smallConductivity, "of the product, at the same temperature"),
  },
  calculate: ({ feed, product }) => {
    const held = c.rejection(feed, product);
    if (held === null) return refuseOutside("rejection", "a feed above 0, a product of 0 or more");
    return {
      results: [makeResult("rejection", held * 100, "%", 1)],
      why: [MASS_BALANCE],
      notes: ["Common practice: 95 to 98 % is healthy, under 90 % asks for a new membrane."],
    };
  },
});

export const tds = defineCalculator({
  name: "tds",
  purpose: "dissolved solids from conductivity, or back, by a factor that must be named",
  asks: {
    conductivity: allow(kinds.smallConductivity, "at 25 °C"),
    tds: allow(kinds.tds, "or a meter's reading in mg/L"),
    factor: ask(kinds.plain, "of the meter: 0.5 for sodium chloride, 0.55 to 0.8 for natural waters"),
  },
  calculate: ({ conductivity, tds: reading, factor }) => {
    if ((conductivity === undefined) === (reading === undefined)) {
      return { refused: "From a conductivity or from a reading in mg/L? Add either --conductivity or --tds." };
    }
    const answer =
      conductivity === undefined
        ? c.conductivityFromTds(reading!, factor)
        : c.tdsFromConductivity(conductivity, factor);
    if (answer === null) return refuseOutside("the factor", "0.4 to 1, amounts of 0 or more");
    return {
      results: [
        conductivity === undefined
          ? makeResult("conductivity at 25 °C", answer, "µS/cm", 2)
          : makeResult("dissolved solids", answer, "mg/L", 2),
      ],
      why: [TDS_FACTOR],
    };
  },
});
