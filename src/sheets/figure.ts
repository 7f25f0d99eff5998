// A figure of a sheet with all that a brewer needs to reckon it again by hand: formula, constants with their sources, inputs.

/** A number that does not come from the brewery, with where it comes from. */
export interface FigureConstant {
  /** As the formula calls it. */
  name: string
  value: number
  /** '' where it has none. */
  unit: string
  source: string
}

/** A number of the brewery. */
export interface FigureInput {
  /** As the formula calls it. */
  name: string
  value: number
  unit: string
  /** The figure that it is itself. Absent: it was measured, or set up. */
  from?: Figure
}

export const WARNING_CODES = [
  'OUT_OF_RANGE',
  'FERMENTATION_NOT_PROVEN',
  'RESIDUE_OVER_PRIMES',
  'ALREADY_CARBONATED',
  'BELOW_BAND',
  'ABOVE_BAND',
] as const

export type WarningCode = (typeof WARNING_CODES)[number]

/** What a person must know of a figure, as data; `src/words/figure-words.ts` makes sentences of it. */
export interface FigureWarning {
  code: WarningCode
  params: Readonly<Record<string, number | string>>
}

export interface Figure {
  /** Undefined: it cannot be reckoned; `missing` says what lacks, or `warnings` say why it is not printed. */
  value: number | undefined
  unit: string
  /** Arithmetic with the names of inputs and constants: + − × / ( ), max, min, exp, round to a whole number, floor. */
  formula: string
  constants: readonly FigureConstant[]
  /** Those that are known. */
  inputs: readonly FigureInput[]
  /** Names of the inputs that are not known. */
  missing: readonly string[]
  warnings: readonly FigureWarning[]
}

/** An input as a calculation asks for it: a number, or a figure that stands for one. */
export interface AskedInput<Name extends string> {
  name: Name
  value: number | undefined | Figure
  unit: string
  /** The least and the most that the formula holds for; outside them there is no figure. */
  within?: { least: number; most: number }
}

interface Calculation<Name extends string> {
  unit: string
  formula: string
  constants?: readonly FigureConstant[]
  inputs: readonly AskedInput<Name>[]
  /** Inputs that are no numbers and not known. */
  missing?: readonly string[]
  /** Reasons for which it is not reckoned, even where all is known. */
  refusals?: readonly FigureWarning[]
  /** The formula as code; asked only where every input is known. */
  compute: (of: (name: Name) => number) => number
}

/** Reckons a figure where all that it needs is known and nothing refuses it; otherwise says what lacks, and never guesses. */
export function figureOf<Name extends string>(calculation: Calculation<Name>): Figure {
  const { unit, formula, constants = [], inputs, compute } = calculation
  const figures = inputs.flatMap(({ value }) => (typeof value === 'object' ? [value] : []))
  const missing = [
    ...new Set([
      ...inputs.flatMap(({ name, value }) => (value === undefined ? [name] : [])),
      ...(calculation.missing ?? []),
      ...figures.flatMap((each) => each.missing),
    ]),
  ]
  const refusals = [...(calculation.refusals ?? []), ...inputs.flatMap(outOfRange)]
  const known = inputs.flatMap(knownInput)
  const isReckoned = refusals.length === 0 && missing.length === 0 && known.length === inputs.length
  const values = new Map(known.map(({ name, value }) => [name, value]))
  const of = (name: Name) => {
    const value = values.get(name)
    if (value === undefined) throw new Error(`the calculation has no input ${name}`)
    return value
  }
  return {
    ...{ value: isReckoned ? compute(of) : undefined, unit, formula, constants, inputs: known, missing },
    warnings: distinct([...refusals, ...figures.flatMap((each) => each.warnings)]),
  }
}

/** A figure with warnings that follow from its value. */
export function withWarnings(figure: Figure, warnings: readonly FigureWarning[]): Figure {
  return { ...figure, warnings: distinct([...figure.warnings, ...warnings]) }
}

function knownInput({ name, value, unit }: AskedInput<string>): FigureInput[] {
  if (typeof value === 'number') return [{ name, value, unit }]
  return value?.value === undefined ? [] : [{ name, value: value.value, unit, from: value }]
}

function outOfRange({ name, value, unit, within }: AskedInput<string>): FigureWarning[] {
  if (typeof value !== 'number' || !within || (value >= within.least && value <= within.most)) return []
  return [{ code: 'OUT_OF_RANGE', params: { name, value, unit, ...within } }]
}

function distinct(warnings: readonly FigureWarning[]): FigureWarning[] {
  return [...new Map(warnings.map((warning) => [JSON.stringify(warning), warning])).values()]
}
