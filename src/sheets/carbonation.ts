// CO₂ dissolved in beer: at equilibrium, after fermentation in an open tank, as measured or estimated, and after a fill.
import { ATMOSPHERE, CO2_MOLAR_MASS, ONE_VOLUME, WATER_MOLES, ZERO_CELSIUS } from './constants.ts'
import { type Figure, type FigureConstant, type FigureWarning, figureOf, withWarnings } from './figure.ts'

const CARROLL = 'Carroll, Slupsky & Mather, J. Phys. Chem. Ref. Data 20, 1201 (1991), CO₂ in water'
const A: FigureConstant = { name: 'a', value: -6.8346, unit: '', source: CARROLL }
const B: FigureConstant = { name: 'b', value: 12817, unit: 'K', source: CARROLL }
const C: FigureConstant = { name: 'c', value: 3766800, unit: 'K²', source: CARROLL }
const D: FigureConstant = { name: 'd', value: 299700000, unit: 'K³', source: CARROLL }

/** The correlation holds from 273 K to 433 K: colder beer is measured, not reckoned. */
const CELSIUS = { least: -0.15, most: 159.85 }
/** It holds below 1 MPa; below the pressure of the air a vessel draws a vacuum, and a gauge that says so is looked at first. */
const GAUGE_BAR = { least: 0, most: 8.9 }

/** Henry's constant of CO₂ in water, in MPa for each unit of mole fraction, at °C. Beer is not water; a gauge outranks what follows from it. */
export function henryConstant(celsius: number | undefined, temperature = 'temperature'): Figure {
  return figureOf({
    unit: 'MPa',
    formula: 'exp(a + b / T − c / (T × T) + d / (T × T × T))',
    constants: [A, B, C, D],
    inputs: [{ name: 'T', value: inKelvin(celsius, temperature), unit: 'K' }],
    compute: (of) => Math.exp(A.value + B.value / of('T') - C.value / of('T') ** 2 + D.value / of('T') ** 3),
  })
}

function inKelvin(celsius: number | undefined, temperature: string): Figure {
  return figureOf({
    unit: 'K',
    formula: `${temperature} + ${ZERO_CELSIUS.name}`,
    constants: [ZERO_CELSIUS],
    inputs: [{ name: temperature, value: celsius, unit: '°C', within: CELSIUS }],
    compute: (of) => of(temperature) + ZERO_CELSIUS.value,
  })
}

/** What the inputs are called, so that a sheet that lacks one says which. */
interface Named {
  temperature: string
  pressure: string
}

/**
 * Volumes of CO₂ that water holds at equilibrium with CO₂ at a temperature (°C) and a gauge pressure (bar), by Henry's law.
 * All the pressure is taken as that of CO₂, as priming tables do: none of it as water vapour, 2 % of an atmosphere at 20 °C.
 */
export function equilibriumVolumes(
  { celsius, gaugeBar }: { celsius: number | undefined; gaugeBar: number | undefined },
  named: Named = { temperature: 'temperature', pressure: 'gauge pressure' },
): Figure {
  const henry = "Henry's constant"
  const bar = `(${ATMOSPHERE.name} + ${named.pressure})`
  return figureOf({
    unit: 'volumes',
    formula: `${bar} / (10 × ${henry} − ${bar}) × ${WATER_MOLES.name} × ${CO2_MOLAR_MASS.name} / ${ONE_VOLUME.name}`,
    constants: [ATMOSPHERE, WATER_MOLES, CO2_MOLAR_MASS, ONE_VOLUME],
    inputs: [
      { name: named.pressure, value: gaugeBar, unit: 'bar', within: GAUGE_BAR },
      { name: henry, value: henryConstant(celsius, named.temperature), unit: 'MPa' },
    ],
    compute: (of) => {
      const absolute = ATMOSPHERE.value + of(named.pressure)
      const molesForEachOfWater = absolute / (10 * of(henry) - absolute)
      return (molesForEachOfWater * WATER_MOLES.value * CO2_MOLAR_MASS.value) / ONE_VOLUME.value
    },
  })
}

/** Volumes that fermentation in a tank open to the air has left, by the warmest temperature (°C) since it ended: warm beer lets CO₂ go, and cold beer takes none up again from the air. */
export function openTankVolumes(warmestCelsius: number | undefined): Figure {
  const named = {
    temperature: 'warmest temperature since fermentation ended',
    pressure: 'gauge pressure of an open tank',
  }
  return equilibriumVolumes({ celsius: warmestCelsius, gaugeBar: 0 }, named)
}

export interface BeerInVessel {
  /** Volumes that an instrument has shown. It outranks every estimate. */
  measuredVolumes?: number | undefined
  /** °C. */
  warmestCelsiusSinceFermented?: number | undefined
  /** °C and bar of the gauge, now. 0 bar where the vessel is open to the air. */
  presentCelsius?: number | undefined
  presentGaugeBar?: number | undefined
}

/**
 * Volumes dissolved before a fill: measured; else the larger of what an open tank has left at the warmest temperature since
 * fermentation ended and equilibrium now (common practice). The larger one, because sugar is given for what is not dissolved.
 */
export function dissolvedVolumes(beer: BeerInVessel): Figure {
  const unit = 'volumes'
  if (beer.measuredVolumes !== undefined)
    return figureOf({
      ...{ unit, formula: 'measured CO₂' },
      inputs: [{ name: 'measured CO₂', value: beer.measuredVolumes, unit, within: { least: 0, most: 10 } }],
      compute: (of) => of('measured CO₂'),
    })
  const now = equilibriumVolumes(
    { celsius: beer.presentCelsius, gaugeBar: beer.presentGaugeBar },
    { temperature: 'present temperature', pressure: 'present gauge pressure' },
  )
  return figureOf({
    ...{ unit, formula: 'max(left by an open tank, equilibrium now)' },
    inputs: [
      { name: 'left by an open tank', value: openTankVolumes(beer.warmestCelsiusSinceFermented), unit },
      { name: 'equilibrium now', value: now, unit },
    ],
    compute: (of) => Math.max(of('left by an open tank'), of('equilibrium now')),
  })
}

/** Volumes that a pack should have. */
export interface CarbonationBand {
  from: number
  to: number
}

/**
 * Volumes that the beer will have once it is conditioned: dissolved now, from what is left to ferment, and from sugar. Warns
 * where that lies outside the band of the pack.
 */
export function expectedVolumes(
  parts: { dissolved: Figure; residue?: Figure | undefined; fromSugar?: Figure | undefined },
  band?: CarbonationBand | undefined,
): Figure {
  const unit = 'volumes'
  const given = [
    { name: 'dissolved CO₂', value: parts.dissolved, unit },
    { name: 'CO₂ from residue', value: parts.residue, unit },
    { name: 'CO₂ from sugar', value: parts.fromSugar, unit },
  ].filter(({ value }) => value !== undefined)
  const figure = figureOf({
    ...{ unit, formula: given.map(({ name }) => name).join(' + '), inputs: given },
    compute: (of) => given.reduce((sum, { name }) => sum + of(name), 0),
  })
  return withWarnings(figure, outsideBand(figure.value, band))
}

function outsideBand(volumes: number | undefined, band: CarbonationBand | undefined): FigureWarning[] {
  if (volumes === undefined || !band || (volumes >= band.from && volumes <= band.to)) return []
  return [{ code: volumes < band.from ? 'BELOW_BAND' : 'ABOVE_BAND', params: { volumes, ...band } }]
}
