/** Practical salinity beyond which no keeper mixes. Above 42 it is a ratio of salt to water, not a measurement. */
export const STRONGEST_MIX_SP = 100;
