// Constants of nature and of the trade that several figures share, each with its source.
import type { FigureConstant } from './figure.ts'

const IUPAC = 'IUPAC abridged atomic weights: H 1.008, C 12.011, O 15.999'

/** Standard pressure of the air. In a brewery that stands high it is less; then less CO₂ is dissolved than is printed. */
export const ATMOSPHERE: FigureConstant = {
  name: 'standard atmosphere',
  value: 1.01325,
  unit: 'bar',
  source: 'definition, 101.325 kPa',
}

export const CO2_MOLAR_MASS: FigureConstant = {
  name: 'molar mass of CO₂',
  value: 44.009,
  unit: 'g/mol',
  source: IUPAC,
}

/** A litre of water is taken as a kilogram: 0.2 % more than it is at 20 °C. */
export const WATER_MOLES: FigureConstant = {
  name: 'moles in a litre of water',
  value: 55.509,
  unit: 'mol/L',
  source: `1,000 g / 18.015 g, ${IUPAC}`,
}

/** What the trade calls a volume of CO₂: a litre of it in a litre of beer. */
export const ONE_VOLUME: FigureConstant = {
  name: 'one volume of CO₂',
  value: 1.963,
  unit: 'g/L',
  source: 'ideal gas at 0 °C and 1 atm',
}

export const ZERO_CELSIUS: FigureConstant = {
  name: '0 °C in kelvin',
  value: 273.15,
  unit: 'K',
  source: 'SI definition of the degree Celsius',
}

export const GAS_CONSTANT: FigureConstant = {
  name: 'gas constant',
  value: 8.314463,
  unit: 'J/(mol K)',
  source: 'SI, 2019: Boltzmann constant × Avogadro constant',
}
