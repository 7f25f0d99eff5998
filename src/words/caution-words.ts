// What can hurt people at the tanks, in one or two plain sentences each. General safety of cellars, common practice; published
// figures stand with their sources in src/sheets/cautions.ts.
import type { Caution, CautionCode } from '../sheets/cautions.ts'

export const CO2_KILLS =
  'Carbon dioxide fills cellars and vessels and kills without warning: measure the air before anybody goes in.'

export const CAUSTIC_COLLAPSES =
  'Caustic takes up CO₂, and the vacuum collapses the vessel: blow the CO₂ out with air before any caustic goes in, and keep the vent open.'

/** Stands beside every caution: what we print is no rule of the place where it is read. */
export const LOCAL_CODES_PREVAIL = 'Local codes and licensed practice prevail.'

type Params = Caution['params']

const WORDS: Readonly<Record<CautionCode, (params: Params) => string>> = {
  CO2_IN_THE_AIR: ({ eightHoursPpm, fifteenMinutesPpm }) =>
    `${CO2_KILLS} Ventilate, wear an alarm, leave when it sounds; limits at work are ${thousands(eightHoursPpm)} ppm over 8 hours and ${thousands(fifteenMinutesPpm)} ppm over 15 minutes.`,
  UNFINISHED_BEER: () =>
    'Beer that has not finished goes on in its container and can burst it: without two equal gravities a day apart it gets no sugar. What is primed all the same is quarantined when it is said.',
  OVER_PRIMED: () =>
    'Too much sugar bursts casks: weigh it for each cask, give it once, and never on top of what the sheet says. Keep people away from a cask that bulges or leaks, and leave it to somebody who is trained to vent it.',
  RELIEF_VALVES: () =>
    'Check that the relief valve of the vessel moves freely before pressure is put on, and never shut or wedge it. Keep the pressure below the rating of the vessel and of the hose.',
  VACUUM_WHEN_DRAWN_SHUT: () =>
    'A vessel that is drawn with its vents shut collapses: let CO₂ in as fast as beer leaves, or open the vent, and watch the gauge.',
  CAUSTIC_IN_CO2: () => CAUSTIC_COLLAPSES,
  COLD_AFTER_HOT: () =>
    'A cold rinse after a hot one collapses a vessel whose vents are shut: open them, and let the vessel cool first.',
  PURGE_OPEN_ONLY: () =>
    'Purge only through an open bung, never into a closed container, and keep the regulator below the pressure rating of the container. Ventilate: the CO₂ stays in the room.',
  RETURNED_UNDER_PRESSURE: () =>
    'Containers that come back may be under pressure: vent each of them slowly, with your face away, before it is opened.',
  EYES_AT_SHIVES: () =>
    'Wear eye protection where shives, pegs and keystones are driven or drawn: they fly out, and beer follows.',
  EYES_AT_CAUSTIC: () =>
    'Hot caustic blinds and burns: wear goggles, gloves and an apron, and add caustic to water, never water to caustic.',
  ROLLING_CASKS: () =>
    'Chock every cask that lies. Roll it with hands on the top, away from its rims, and keep feet and fingers out of its way.',
  LIFT_BY_TWO: ({ kg, container, filterKg }) =>
    `${kg === undefined ? `The weight of a full ${container} is not known: weigh one first, and take it for too heavy for one` : `A full ${container} weighs about ${Math.round(Number(kg))} kg: lift it by two, or with a hoist`}. The law sets no weight: ${filterKg} kg is a filter for a closer look, and no limit that is safe.`,
}

/** The same where room is short: beside the work, on one page of paper. */
const SHORT: Readonly<Record<CautionCode, (params: Params) => string>> = {
  CO2_IN_THE_AIR: ({ eightHoursPpm, fifteenMinutesPpm }) =>
    `CO₂ kills without warning: measure the air, ventilate, wear an alarm; limits at work ${thousands(eightHoursPpm)} ppm over 8 hours, ${thousands(fifteenMinutesPpm)} ppm over 15 minutes.`,
  UNFINISHED_BEER: () => 'Beer without proof that it has fermented can burst its container: no sugar.',
  OVER_PRIMED: () =>
    'Weigh sugar for each cask and give it once; keep away from a cask that bulges, trained people vent it.',
  RELIEF_VALVES: () => 'Relief valve free, never wedged; stay below the rating of vessel and hose.',
  VACUUM_WHEN_DRAWN_SHUT: () => 'Drawn shut, a vessel collapses: let CO₂ in as beer leaves, or open the vent.',
  CAUSTIC_IN_CO2: () => 'Caustic in CO₂ collapses a vessel: blow it out with air first, vent open.',
  COLD_AFTER_HOT: () => 'Let a hot vessel cool with its vents open before a cold rinse: it collapses.',
  PURGE_OPEN_ONLY: () => 'Purge through an open bung or return only, below the rating of the container; ventilate.',
  RETURNED_UNDER_PRESSURE: () => 'Vent returned containers slowly, face away, before they are opened.',
  EYES_AT_SHIVES: () => 'Eye protection at shives, pegs and keystones.',
  EYES_AT_CAUSTIC: () => 'Hot caustic: goggles, gloves, apron; caustic into water, never water into caustic.',
  ROLLING_CASKS: () => 'Chock casks that lie; roll with hands on top, feet and fingers clear.',
  LIFT_BY_TWO: ({ kg, container, filterKg }) =>
    `${kg === undefined ? `A full ${container} is of unknown weight` : `A full ${container} weighs about ${Math.round(Number(kg))} kg`}: two people or a hoist; ${filterKg} kg is a filter, no safe limit.`,
}

/** A caution in one or two sentences, without the one that stands beside all of them. */
export function cautionInWords({ code, params }: Caution): string {
  return WORDS[code](params)
}

/** All cautions of a sheet in one paragraph, for a page of paper. */
export function cautionsInShort(cautions: readonly Caution[]): string {
  return [...cautions.map(({ code, params }) => SHORT[code](params)), LOCAL_CODES_PREVAIL].join(' ')
}

function thousands(value: number | string | undefined): string {
  return Number(value).toLocaleString('en-GB')
}
