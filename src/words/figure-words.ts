// A figure in words: its value, how it was reached, what lacks, what to beware of.
import type { Figure, FigureWarning, WarningCode } from '../sheets/figure.ts'
import { listed } from './sentence-parts.ts'

/** What stands where a value would, for somebody to write by hand. */
export const BLANK = '______'

/** Places after the point that a unit is read to at the tanks; others show five. */
const PLACES: Readonly<Record<string, number>> = { g: 0, mL: 0, kg: 1, volumes: 2, MPa: 2, K: 2, '°C': 1, bar: 2 }

/** A number with its unit, such as `1.51 volumes`, without zeros at its end. */
function measured(value: number, unit: string): string {
  return `${Number(value.toFixed(PLACES[unit] ?? 5))} ${unit}`.trim()
}

/** The value of a figure with its unit; a blank where it has none. */
export function valueInWords({ value, unit }: Figure): string {
  return value === undefined ? `${BLANK} ${unit}` : measured(value, unit)
}

type Params = FigureWarning['params']

const WARNINGS: Readonly<Record<WarningCode, (params: Params) => string>> = {
  OUT_OF_RANGE: ({ name, value, unit, least, most }) =>
    `The ${name} is ${value} ${unit}, and the formula holds from ${least} to ${most} ${unit} only: read it again, or measure what is asked for.`,
  FERMENTATION_NOT_PROVEN: () =>
    'No sugar is printed: no two equal gravities a day apart prove that the beer has fermented, and a cask that still ferments can burst.',
  RESIDUE_OVER_PRIMES: ({ volumes, target }) =>
    `Give no sugar: with what is left to ferment the beer comes to ${volumesOf(volumes)} volumes by itself, more than the ${volumesOf(target)} of its pack.`,
  ALREADY_CARBONATED: ({ dissolved, target }) =>
    `Give no sugar: the beer holds ${volumesOf(dissolved)} volumes already, more than the ${volumesOf(target)} of its pack.`,
  BELOW_BAND: (params) => `Too flat: ${bandOf(params)}`,
  ABOVE_BAND: (params) => `Too lively, and the container comes under pressure: ${bandOf(params)}`,
}

/** A warning in a sentence. */
export function warningInWords({ code, params }: FigureWarning): string {
  return WARNINGS[code](params)
}

/** What lacks, as a sentence; '' where nothing does. */
export function missingInWords({ missing }: Figure): string {
  return missing.length === 0 ? '' : `Not known: ${listed(missing)}.`
}

/** How a figure was reached, in lines: its formula, its numbers, its constants with their sources, then the figures that it is made of. */
export function howReached(figure: Figure, name: string): string[] {
  const { formula, inputs, constants } = figure
  return [
    `${name} = ${valueInWords(figure)} = ${formula}`,
    ...inputs.map(({ name: input, value, unit }) => `${input} = ${measured(value, unit)}`),
    ...constants.map(
      ({ name: constant, value, unit, source }) => `${constant} = ${`${value} ${unit}`.trim()} (${source})`,
    ),
    ...inputs.flatMap((input) => (input.from ? howReached(input.from, input.name) : [])),
  ]
}

function bandOf({ volumes, from, to }: Params): string {
  return `the beer comes to ${volumesOf(volumes)} volumes, and its pack should have ${volumesOf(from)} to ${volumesOf(to)}.`
}

function volumesOf(volumes: number | string | undefined): string {
  return String(Number(Number(volumes).toFixed(2)))
}
