import {
  BELIEFS,
  type Doubtful,
  type Forecast,
  LEDGER_GAPS,
  type LedgerStatus,
  type NODES,
} from "../../shared/contract/index.ts";

/** What belongs on the topics of the ledger. An empty text is a topic that must be clear. */
type Texts = Readonly<Record<keyof (typeof NODES)["ledger"]["properties"], string>>;

export function ledgerOf(ledger: LedgerStatus, numberText: (value: number | null, decimals: number) => string): Texts {
  const percent = (value: Doubtful | null): Doubtful | null =>
    value === null ? null : { value: 100 * value.value, uncertainty: 100 * value.uncertainty };
  const put = <Id extends string>(id: Id, value: Doubtful | null, decimals: number) =>
    ({
      [id]: numberText(value?.value ?? null, decimals),
      [`${id}-uncertainty`]: numberText(value?.uncertainty ?? null, decimals),
    }) as Record<Id | `${Id}-uncertainty`, string>;
  const foresee = <Id extends string>(id: Id, value: Forecast | null) =>
    ({
      [id]: numberText(value?.expected ?? null, 1),
      [`${id}-earliest`]: numberText(value?.earliest ?? null, 1),
      [`${id}-latest`]: numberText(value?.latest ?? null, 1),
    }) as Record<Id | `${Id}-earliest` | `${Id}-latest`, string>;
  const { says, check } = BELIEFS[ledger.belief];
  const { airLPerDay: air, heat, forecasts } = ledger;
  return {
    belief: ledger.belief,
    sureness: numberText(100 * ledger.sureness, 0),
    says: ledger.because === null ? says : LEDGER_GAPS[ledger.because],
    check,
    settled: ledger.settled ?? "",
    ...put("salinity-at-full", ledger.salinityAtFull, 2),
    ...put("litres-per-day", ledger.litresPerDay, 2),
    ...put("excess-per-day", ledger.excessLPerDay, 2),
    ...put("salinity-per-day", ledger.salinityPerDay, 3),
    ...put("evaporation-per-day", ledger.evaporationLPerDay, 2),
    "evaporation-by-air": air === null ? "" : `${numberText(air[0], 1)}–${numberText(air[1], 1)}`,
    ...put("pump-strength", percent(ledger.pumpStrength), 0),
    ...put("heat-loss", heat.lossW, 0),
    ...put("heat-loss-per-kelvin", heat.lossWPerK, 1),
    ...put("heater-power", heat.heaterW, 0),
    ...foresee("reservoir-days", forecasts.reservoirDays),
    ...foresee("salinity-hours", forecasts.salinityHours),
    ...foresee("temperature-hours", forecasts.temperatureHours),
  };
}
