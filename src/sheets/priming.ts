// Priming sugar for one container: what the target asks for beyond what is dissolved and what is left to ferment.
import { ONE_VOLUME } from './constants.ts'
import { type Figure, type FigureConstant, type FigureWarning, figureOf, withWarnings } from './figure.ts'

const MOLAR_MASSES = 'complete fermentation, by molar masses (IUPAC abridged atomic weights)'

/** Grams of CO₂ from a gram of each sugar that ferments completely. Yeast that grows makes a little less of it: nothing is added for that. */
const YIELDS = {
  SUCROSE: { value: 0.5143, source: `sucrose C₁₂H₂₂O₁₁ → 4 CO₂, ${MOLAR_MASSES}` },
  GLUCOSE: { value: 0.4886, source: `glucose C₆H₁₂O₆ → 2 CO₂, ${MOLAR_MASSES}` },
  GLUCOSE_MONOHYDRATE: { value: 0.4442, source: `glucose monohydrate C₆H₁₂O₆·H₂O → 2 CO₂, ${MOLAR_MASSES}` },
} as const

export type SugarKind = keyof typeof YIELDS
export const SUGAR_KINDS = ['SUCROSE', 'GLUCOSE', 'GLUCOSE_MONOHYDRATE'] as const satisfies readonly SugarKind[]

function sugarYield(kind: SugarKind): FigureConstant {
  return { name: 'CO₂ from a gram of sugar', unit: 'g/g', ...YIELDS[kind] }
}

const APPARENT_EXTRACT: FigureConstant = {
  name: 'apparent extract',
  value: 2590,
  unit: 'g/L for 1 of specific gravity',
  source: '°Plato = 259 − 259 / gravity, so g/L = 2,590 × (gravity − 1); common practice, from memory',
}

/** Alcohol is lighter than water, so that gravity falls by more than the sugar that is gone. */
const REAL_OF_APPARENT: FigureConstant = {
  name: 'fermented of the apparent extract',
  value: 0.81,
  unit: '',
  source: 'MEBAK B-590.80.530, fermentable extract',
}

/** Brewers also reckon with 0.463, which counts the yeast that grows (Balling, from memory); the higher figure asks for less sugar. */
const EXTRACT_YIELD: FigureConstant = {
  name: 'CO₂ from a gram of extract',
  value: 0.5143,
  unit: 'g/g',
  source: `taken as maltose C₁₂H₂₂O₁₁ → 4 CO₂, ${MOLAR_MASSES}`,
}

export interface Gravities {
  /** Specific gravity, as last read. */
  presentGravity?: number | undefined
  /** Specific gravity at which fermentation is expected to end. */
  expectedFinalGravity?: number | undefined
}

/** Volumes of CO₂ that the extract gives which is still to ferment; none where the gravity is at its expected end or below it. */
export function residueVolumes({ presentGravity, expectedFinalGravity }: Gravities): Figure {
  const unit = 'specific gravity'
  const within = { least: 0.98, most: 1.2 }
  return figureOf({
    unit: 'volumes',
    formula: `max(0, present gravity − expected final gravity) × ${APPARENT_EXTRACT.name} × ${REAL_OF_APPARENT.name} × ${EXTRACT_YIELD.name} / ${ONE_VOLUME.name}`,
    constants: [APPARENT_EXTRACT, REAL_OF_APPARENT, EXTRACT_YIELD, ONE_VOLUME],
    inputs: [
      { name: 'present gravity', value: presentGravity, unit, within },
      { name: 'expected final gravity', value: expectedFinalGravity, unit, within },
    ],
    compute: (of) => {
      const points = Math.max(0, of('present gravity') - of('expected final gravity'))
      const grams = points * APPARENT_EXTRACT.value * REAL_OF_APPARENT.value * EXTRACT_YIELD.value
      return grams / ONE_VOLUME.value
    },
  })
}

export interface PrimingInput {
  /** Whether two gravities prove that fermentation has ended. What a person says of it proves nothing. */
  isFermentationProven: boolean
  /** Volumes of CO₂ that the pack should have. */
  targetVolumes?: number | undefined
  /** From `dissolvedVolumes`. */
  dissolved: Figure
  /** From `residueVolumes`. */
  residue: Figure
  /** Litres of one container. */
  litres?: number | undefined
  sugar?: SugarKind | undefined
}

/**
 * Grams of sugar for one container, rounded down to whole grams, so that rounding never primes more. None, with a warning, where the beer has its CO₂ already or
 * where what is left to ferment brings it past the target. Without proof of fermentation there is no figure: a cask that is
 * primed while it still ferments can burst.
 */
export function primingSugar(input: PrimingInput): Figure {
  const { sugar, isFermentationProven } = input
  const constants = sugar ? [ONE_VOLUME, sugarYield(sugar)] : [ONE_VOLUME]
  const figure = figureOf({
    unit: 'g',
    formula: `floor(max(0, target carbonation − dissolved CO₂ − CO₂ from residue) × litres × ${ONE_VOLUME.name} / CO₂ from a gram of sugar)`,
    constants,
    inputs: [
      { name: 'target carbonation', value: input.targetVolumes, unit: 'volumes', within: { least: 0, most: 5 } },
      { name: 'dissolved CO₂', value: input.dissolved, unit: 'volumes' },
      { name: 'CO₂ from residue', value: input.residue, unit: 'volumes' },
      { name: 'litres', value: input.litres, unit: 'L', within: { least: 0, most: 1000 } },
    ],
    missing: sugar ? [] : ['kind of sugar'],
    refusals: isFermentationProven ? [] : [{ code: 'FERMENTATION_NOT_PROVEN', params: {} }],
    compute: (of) => {
      const lacking = Math.max(0, of('target carbonation') - of('dissolved CO₂') - of('CO₂ from residue'))
      const perGram = sugar ? YIELDS[sugar].value : Number.NaN
      return Math.floor((lacking * of('litres') * ONE_VOLUME.value) / perGram)
    },
  })
  return withWarnings(figure, tooMuchAlready(input))
}

/** Said also where the sugar is not reckoned for another reason: that the beer would be over-primed is known without it. */
function tooMuchAlready({ targetVolumes: target, dissolved, residue }: PrimingInput): FigureWarning[] {
  if (target === undefined || dissolved.value === undefined) return []
  if (dissolved.value > target) return [{ code: 'ALREADY_CARBONATED', params: { dissolved: dissolved.value, target } }]
  if (residue.value === undefined || dissolved.value + residue.value <= target) return []
  return [{ code: 'RESIDUE_OVER_PRIMES', params: { volumes: dissolved.value + residue.value, target } }]
}

/** Volumes that the sugar of one container gives, for the carbonation that is to be expected. */
export function sugarVolumes(sugar: {
  grams: Figure
  kind: SugarKind | undefined
  litres: number | undefined
}): Figure {
  const { grams, kind, litres } = sugar
  return figureOf({
    unit: 'volumes',
    formula: `sugar × CO₂ from a gram of sugar / litres / ${ONE_VOLUME.name}`,
    constants: kind ? [sugarYield(kind), ONE_VOLUME] : [ONE_VOLUME],
    inputs: [
      { name: 'sugar', value: grams, unit: 'g' },
      { name: 'litres', value: litres, unit: 'L', within: { least: 0.001, most: 1000 } },
    ],
    missing: kind ? [] : ['kind of sugar'],
    compute: (of) => (of('sugar') * (kind ? YIELDS[kind].value : Number.NaN)) / of('litres') / ONE_VOLUME.value,
  })
}
