import * as c from "../../../../shared/chemistry/index.ts";
import * as u from "../../../../shared/units/index.ts";
import { asked, calculator, optional, outside, preset, result } from "../calculator.ts";
import * as kinds from "../kinds.ts";
import { MAGNUS, MASS_BALANCE, MEMBRANE, PENMAN, POOL, SEA_RANGE, SHAH, TDS_FACTOR } from "../sources.ts";

export const waterChange = calculator({
  name: "water-change",
  purpose: "what water changes leave of anything dissolved",
  asks: {
    now: asked(kinds.milligramsPerLitre, "in the tank"),
    new: preset(kinds.milligramsPerLitre, "in the new water", "0mg/L"),
    share: optional(kinds.share, "changed each time"),
    times: preset(kinds.plain, "how often", "1"),
    target: optional(kinds.milligramsPerLitre, "wanted, to reckon how many changes it takes"),
    stream: optional(kinds.volume, "or new water that runs through, mixing all the time"),
    volume: optional(kinds.volume, "net volume of the tank, for a stream"),
  },
  reckon: ({ now, new: fresh, share, times, target, stream, volume }) => {
    if ((share === undefined) === (stream === undefined)) {
      return { refused: "Bucket by bucket or in a stream? Add either --share 20% or --stream 50L." };
    }
    if (stream !== undefined) {
      if (volume === undefined) return { refused: "A stream through how much water? Add --volume 140L." };
      const left = c.afterContinuousExchange(now, fresh, stream, volume);
      if (left === null) return outside("a stream", "amounts of 0 or more");
      return { results: [result("left after the stream", left, "mg/L", 3)], why: [MASS_BALANCE] };
    }
    const left = times === 1 ? c.afterOneChange(now, fresh, share!) : c.afterChanges(now, fresh, share!, times);
    if (left === null) return outside("water changes", "0 to 100 %, a whole number of times");
    const changes = target === undefined ? undefined : c.changesNeeded(now, fresh, target, share!);
    if (changes === null)
      return { refused: "This new water never brings the tank to that target, however often it is changed." };
    return {
      results: [
        result(`left after ${times} change${times === 1 ? "" : "s"}`, left, "mg/L", 3),
        ...(changes === undefined ? [] : [result("changes until the target", Math.ceil(changes - 1e-9), "", 0)]),
      ],
      why: [MASS_BALANCE],
    };
  },
});

export const netVolume = calculator({
  name: "net-volume",
  purpose: "how much water a tank really holds, from a known mass dissolved in it",
  asks: {
    added: asked(kinds.mass, "dissolved in the tank"),
    before: preset(kinds.gramsPerLitre, "its concentration before", "0g/L"),
    after: asked(kinds.gramsPerLitre, "its concentration afterwards, well mixed"),
  },
  reckon: ({ added, before, after }) => {
    const volume = c.netVolumeByDilution(u.gramsFromKilograms(added), before, after);
    if (volume === null) return outside("dilution", "a mass above 0 and a concentration that rose");
    return {
      results: [result("net volume", volume, "L", 1), result("the same", u.usGallonsFromLitres(volume), "US gal", 1)],
      why: [MASS_BALANCE],
    };
  },
});

const openWaterAsks = {
  area: asked(kinds.area, "of the open surface"),
  temp: asked(kinds.temperature, "of the water"),
  salinity: preset(kinds.salinity, "of the water", "35SP"),
  air: asked(kinds.temperature, "of the room"),
  humidity: asked(kinds.share, "relative, of the room"),
  speed: preset(kinds.speed, "of the air over the water", "0.1m/s"),
};

export const evaporation = calculator({
  name: "evaporation",
  purpose: "water that an open surface loses in a day, as a band of three formulas",
  asks: openWaterAsks,
  reckon: ({ area, temp, salinity, air, humidity, speed }) => {
    const open = { surface: area, waterC: temp, SP: salinity, airC: air, humidity, airSpeed: speed };
    const band = c.evaporationBand(open);
    if (band === null) return outside("the formulas", `${SEA_RANGE}, humidity 0 to 100 %`);
    return {
      results: [
        result("evaporation, from", band.lowest, "L/d", 2),
        result("evaporation, to", band.highest, "L/d", 2),
        result("pool formula", band.pool, "L/d", 2),
        result("Shah, still air", band.shah, "L/d", 2),
        result("Penman", band.penman, "L/d", 2),
      ],
      why: [POOL, SHAH, PENMAN, MAGNUS],
      notes: ["A cover, a lamp or a draught moves a tank out of the band."],
    };
  },
});

export const vapourPressure = calculator({
  name: "vapour-pressure",
  purpose: "vapour pressure over water, and in the air of a room",
  asks: {
    temp: asked(kinds.temperature, "of the water and, unless told otherwise, of the air"),
    salinity: preset(kinds.salinity, "of the water", "0SP"),
    humidity: optional(kinds.share, "relative, of the air"),
    air: optional(kinds.temperature, "of the air"),
  },
  reckon: ({ temp, salinity, humidity, air }) => {
    const over = c.seaWaterVapourPressure(temp, salinity);
    const inAir = humidity === undefined ? undefined : c.airVapourPressure(air ?? temp, humidity);
    if (over === null || inAir === null) return outside("the Magnus form", `${SEA_RANGE}, humidity 0 to 100 %`);
    return {
      results: [
        result("vapour pressure over the water", over, "kPa", 4),
        ...(inAir === undefined ? [] : [result("vapour pressure in the air", inAir, "kPa", 4)]),
      ],
      why: [MAGNUS],
    };
  },
});

export const membrane = calculator({
  name: "membrane",
  purpose: "what a reverse osmosis membrane makes at its temperature and pressure",
  asks: {
    rated: asked(kinds.flow, "of the membrane at 25 °C"),
    ratedPressure: preset(kinds.pressure, "at which it was rated", "50psi"),
    ratedTds: preset(kinds.tds, "at which it was rated", "250mg/L"),
    temp: asked(kinds.temperature, "of the feed water"),
    feed: asked(kinds.pressure, "of the feed"),
    back: preset(kinds.pressure, "behind the membrane", "0bar"),
    tds: preset(kinds.tds, "of the feed water", "250mg/L"),
    fill: optional(kinds.volume, "to fill, to reckon how long that takes"),
  },
  reckon: ({ rated, ratedPressure, ratedTds, temp, feed, back, tds, fill }) => {
    const flow = c.membraneFlow(
      { flow: rated, pressure: ratedPressure, tds: ratedTds },
      { feed, back, tds, t90C: temp },
    );
    const slower = c.temperatureCorrection(temp);
    if (flow === null || slower === null) return outside("a membrane", "0 to 45 °C, pressures of 0 or more");
    if (fill !== undefined && !(fill >= 0)) return outside("a volume", "0 or more");
    return {
      results: [
        result("product", flow, "L/h", 2),
        result("the same", u.usGallonsPerDayFromLitresPerHour(flow), "US gal/d", 1),
        result("times slower than at 25 °C", slower, "", 3),
        ...(fill === undefined || flow === 0 ? [] : [result("time to fill", fill / flow, "h", 1)]),
      ],
      why: [MEMBRANE],
      notes: flow === 0 ? ["The feed pressure does not overcome what stands against it: nothing passes."] : [],
    };
  },
});

export const rejection = calculator({
  name: "rejection",
  purpose: "how much of the dissolved content a membrane holds back",
  asks: {
    feed: asked(kinds.smallConductivity, "of the feed water, at one temperature"),
    product: asked(kinds.smallConductivity, "of the product, at the same temperature"),
  },
  reckon: ({ feed, product }) => {
    const held = c.rejection(feed, product);
    if (held === null) return outside("rejection", "a feed above 0, a product of 0 or more");
    return {
      results: [result("rejection", held * 100, "%", 1)],
      why: [MASS_BALANCE],
      notes: ["Common practice: 95 to 98 % is healthy, under 90 % asks for a new membrane."],
    };
  },
});

export const tds = calculator({
  name: "tds",
  purpose: "dissolved solids from conductivity, or back, by a factor that must be named",
  asks: {
    conductivity: optional(kinds.smallConductivity, "at 25 °C"),
    tds: optional(kinds.tds, "or a meter's reading in mg/L"),
    factor: asked(kinds.plain, "of the meter: 0.5 for sodium chloride, 0.55 to 0.8 for natural waters"),
  },
  reckon: ({ conductivity, tds: reading, factor }) => {
    if ((conductivity === undefined) === (reading === undefined)) {
      return { refused: "From a conductivity or from a reading in mg/L? Add either --conductivity or --tds." };
    }
    const answer =
      conductivity === undefined
        ? c.conductivityFromTds(reading!, factor)
        : c.tdsFromConductivity(conductivity, factor);
    if (answer === null) return outside("the factor", "0.4 to 1, amounts of 0 or more");
    return {
      results: [
        conductivity === undefined
          ? result("conductivity at 25 °C", answer, "µS/cm", 2)
          : result("dissolved solids", answer, "mg/L", 2),
      ],
      why: [TDS_FACTOR],
    };
  },
});
