// What a container gets besides beer and sugar: finings, hops, sanitiser; and the CO₂ that takes the place of beer that is drawn.
import { ATMOSPHERE, CO2_MOLAR_MASS, GAS_CONSTANT, ZERO_CELSIUS } from './constants.ts'
import { type Figure, type FigureConstant, figureOf } from './figure.ts'
import { litresOf, unitConstant, unitWords, type VolumeUnitName } from './volumes.ts'

/** So much for each unit of volume, such as 128 mL for each US beer barrel. */
export interface DoseRate {
  amount: number
  per: VolumeUnitName
}

/** As a measuring cylinder is read: to 1 mL up to 100 mL, to 5 mL above (common practice, from memory). */
const FINE_UP_TO = 100
const stepOf = (amount: number) => (amount <= FINE_UP_TO ? 1 : 5)

/** Finings for one container in mL, rounded to what a measuring cylinder shows. */
export function finingsDose(rate: DoseRate | undefined, litres: number | undefined): Figure {
  return dose({ name: 'finings rate', unit: 'mL', rate, litres })
}

/** Dry hops for one container in g, rounded to what a scale for hops shows: 1 g up to 100 g, 5 g above. */
export function hopsDose(rate: DoseRate | undefined, litres: number | undefined): Figure {
  return dose({ name: 'hops rate', unit: 'g', rate, litres })
}

interface AskedDose {
  name: string
  unit: 'mL' | 'g'
  rate: DoseRate | undefined
  litres: number | undefined
}

function dose({ name, unit, rate, litres }: AskedDose): Figure {
  const inputs = [
    { name, value: rate?.amount, unit: rate ? `${unit} for each ${unitWords(rate.per)}` : unit },
    { name: 'litres', value: litres, unit: 'L' },
  ]
  const exact = rate && litres !== undefined ? (rate.amount * litres) / litresOf(rate.per) : 0
  const step: FigureConstant = {
    ...{ name: 'step', value: stepOf(exact), unit },
    source: `common practice: read to 1 ${unit} up to ${FINE_UP_TO} ${unit}, to 5 ${unit} above`,
  }
  const each = rate ? unitConstant(rate.per) : undefined
  return figureOf({
    unit,
    formula: `round(${name} × litres / ${each?.name ?? 'litres of its unit'} / step) × step`,
    constants: each ? [each, step] : [step],
    inputs,
    compute: () => Math.round(exact / step.value) * step.value,
  })
}

const SANITISER: FigureConstant = {
  name: 'sanitiser for a pin',
  value: 500,
  unit: 'mL',
  source: 'common practice',
}
const SANITISER_STEP: FigureConstant = {
  name: 'step',
  value: 50,
  unit: 'mL',
  source: 'from memory',
}

/**
 * Millilitres of sanitiser, ready for use, that wet one cask when it is rolled: 500 mL for a pin (common practice), scaled with
 * the volume, so 1 L for a firkin and 2 L for a kilderkin (from memory). The wetted wall grows by less than the volume.
 */
export function sanitiserDose(litres: number | undefined): Figure {
  const pin = unitConstant('PIN')
  return figureOf({
    unit: 'mL',
    formula: `round(${SANITISER.name} × litres / ${pin.name} / step) × step`,
    constants: [SANITISER, pin, SANITISER_STEP],
    inputs: [{ name: 'litres', value: litres, unit: 'L' }],
    compute: (of) => {
      const exact = (SANITISER.value * of('litres')) / pin.value
      return Math.round(exact / SANITISER_STEP.value) * SANITISER_STEP.value
    },
  })
}

export interface DrawnBeer {
  /** Litres that leave the vessel. */
  litres?: number | undefined
  /** Bar of the gauge at the top of the vessel. */
  topGaugeBar?: number | undefined
  /** °C of the gas. */
  celsius?: number | undefined
}

/**
 * Kilograms of CO₂ that take the place of beer that is drawn, at the top pressure of the vessel, by the ideal gas law. The real
 * gas is up to 1 % heavier at these pressures (from memory), and what leaks or dissolves comes on top.
 */
export function co2ForDraw({ litres, topGaugeBar, celsius }: DrawnBeer): Figure {
  return figureOf({
    unit: 'kg',
    formula: `(${ATMOSPHERE.name} + top pressure) × litres × ${CO2_MOLAR_MASS.name} / (10 × ${GAS_CONSTANT.name} × (temperature + ${ZERO_CELSIUS.name}))`,
    constants: [ATMOSPHERE, CO2_MOLAR_MASS, GAS_CONSTANT, ZERO_CELSIUS],
    inputs: [
      { name: 'litres', value: litres, unit: 'L' },
      { name: 'top pressure', value: topGaugeBar, unit: 'bar', within: { least: 0, most: 8.9 } },
      { name: 'temperature', value: celsius, unit: '°C', within: { least: -5, most: 50 } },
    ],
    // bar × L = 100 J, and g = 0.001 kg: together a tenth.
    compute: (of) => {
      const kelvin = of('temperature') + ZERO_CELSIUS.value
      const moles = ((ATMOSPHERE.value + of('top pressure')) * of('litres')) / (10 * GAS_CONSTANT.value * kelvin)
      return moles * CO2_MOLAR_MASS.value
    },
  })
}
