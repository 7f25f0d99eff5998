// Numbers of the API are rounded to what they mean: sums of many parts end in digits that were never measured. Every Float
// that the API answers passes here, so that no field can forget it; its description says to what it is rounded.
import {
  defaultFieldResolver,
  type GraphQLField,
  GraphQLFloat,
  type GraphQLSchema,
  getNullableType,
  isIntrospectionType,
  isObjectType,
} from 'graphql'

/** How a number is rounded, and the words for it in descriptions. */
interface Rounding {
  digits: number
  /** A bound or a share of success is never shown as more than it is. */
  down?: true
  words: string
}

const THOUSANDTH: Rounding = { digits: 3, words: 'Rounded to 0.001.' }
const HUNDREDTH: Rounding = { digits: 2, words: 'Rounded to 0.01.' }
const PROVEN: Rounding = { digits: 2, down: true, words: 'Rounded down to 0.01.' }
const AS_GIVEN: Rounding = { digits: 6, words: 'Rounded to 0.000001.' }

/**
 * The rounding of a field: by the name that it has on every type, or on one type (`Type.field`, which comes first).
 * Fields of volumes in a unit of choice are as exact as a thousandth of a litre in any of the units.
 */
const ROUNDINGS: Readonly<Record<string, Rounding>> = {
  litres: THOUSANDTH,
  brewLitres: THOUSANDTH,
  capacityLitres: THOUSANDTH,
  litresDumped: THOUSANDTH,
  litresLate: THOUSANDTH,
  litresOnTime: THOUSANDTH,
  litresUnserved: THOUSANDTH,
  litresWanted: THOUSANDTH,
  minFillLitres: THOUSANDTH,
  // A definition, not a measurement: a firkin is nine gallons of 4.54609 L, 40.91481 L.
  nominalLitres: AS_GIVEN,
  setupLossLitres: THOUSANDTH,
  // A thousandth of a litre is 0.000006 of the largest unit.
  capacity: AS_GIVEN,
  minFill: AS_GIVEN,
  volume: AS_GIVEN,
  // Costs, in the currency of the prices.
  bestCost: HUNDREDTH,
  costTotal: HUNDREDTH,
  costDifference: HUNDREDTH,
  'CostAmount.amount': HUNDREDTH,
  lowerBound: PROVEN,
  'UnavoidableLine.cost': PROVEN,
  'UnavoidableBeer.cost': PROVEN,
  'UnavoidableBeer.lines': PROVEN,
  'UnavoidableBeer.left': PROVEN,
  'UnavoidableBeer.rest': PROVEN,
  ofBeers: PROVEN,
  together: PROVEN,
  open: HUNDREDTH,
  // Amounts of litres, minutes, days or containers.
  'Relief.amount': THOUSANDTH,
  'DecisionSummary.amount': THOUSANDTH,
  // Readings, as they were said.
  gravity: AS_GIVEN,
  originalGravity: AS_GIVEN,
  gravityEqualWithin: AS_GIVEN,
  abv: AS_GIVEN,
  tareKg: AS_GIVEN,
  pressureBar: AS_GIVEN,
  finingsMl: AS_GIVEN,
  hopsPerLitre: AS_GIVEN,
  targetCarbonation: AS_GIVEN,
  leastCarbonation: AS_GIVEN,
  mostCarbonation: AS_GIVEN,
  celsius: AS_GIVEN,
  bar: AS_GIVEN,
  co2Volumes: AS_GIVEN,
  weightKg: { digits: 1, words: 'Rounded to 0.1.' },
  barrels: { digits: 5, words: 'Rounded to 0.00001.' },
  lossLitres: THOUSANDTH,
  leftLitres: THOUSANDTH,
  'Figure.value': AS_GIVEN,
  'FigureConstant.value': { digits: 9, words: 'Rounded to 0.000000001.' },
  'FigureInput.value': AS_GIVEN,
  // Times.
  crashHours: THOUSANDTH,
  dryHopHours: THOUSANDTH,
  fermentHours: THOUSANDTH,
  restHours: THOUSANDTH,
  minutes: HUNDREDTH,
  minutesAvailable: HUNDREDTH,
  minutesPerDay: HUNDREDTH,
  minutesUsed: HUNDREDTH,
  setupMinutes: HUNDREDTH,
  washMinutes: HUNDREDTH,
  minutesEach: THOUSANDTH,
  seconds: HUNDREDTH,
  // Shares, and what is set: prices and factors are shown as they were given.
  gap: { digits: 4, words: 'Rounded to 0.0001.' },
  onTimeShare: { digits: 4, down: true, words: 'Rounded down to 0.0001.' },
  lossFraction: AS_GIVEN,
  overfillFraction: AS_GIVEN,
  betterPlanSaving: AS_GIVEN,
  saves: HUNDREDTH,
  setupWeight: AS_GIVEN,
  finalGravity: AS_GIVEN,
  gravityTolerance: AS_GIVEN,
}

/** Prices, one for each term of the cost. */
const PRICES = 'Costs'

/**
 * Lets every Float field of the schema's objects answer rounded, and say so. Changes the schema in place and answers it.
 * Throws `Error` for a Float field whose rounding is not known: add its name above.
 */
export function roundNumbers(schema: GraphQLSchema): GraphQLSchema {
  for (const type of Object.values(schema.getTypeMap())) {
    if (!isObjectType(type) || isIntrospectionType(type)) continue
    for (const field of Object.values(type.getFields())) {
      if (getNullableType(field.type) !== GraphQLFloat) continue
      const rounding =
        type.name === PRICES ? AS_GIVEN : (ROUNDINGS[`${type.name}.${field.name}`] ?? ROUNDINGS[field.name])
      if (!rounding) throw new Error(`nothing says to what ${type.name}.${field.name} is rounded`)
      roundField(field, rounding)
    }
  }
  return schema
}

function roundField(field: GraphQLField<unknown, unknown>, rounding: Rounding): void {
  const resolve = field.resolve ?? defaultFieldResolver
  const round = (value: unknown) => (typeof value === 'number' ? rounded(value, rounding) : value)
  field.description = [field.description, rounding.words].filter(Boolean).join(' ')
  field.resolve = (...args) => {
    const value: unknown = resolve(...args)
    return value instanceof Promise ? value.then(round) : round(value)
  }
}

/**
 * A number with at most so many decimals: the nearest, or the greatest not above it. What a float's own error keeps just
 * below a step is on the step. Never -0.
 */
export function rounded(value: number, { digits, down }: Pick<Rounding, 'digits' | 'down'>): number {
  if (!Number.isFinite(value)) return value
  const steps = value * 10 ** digits
  const whole = Math.round(steps)
  const isOnStep = Math.abs(steps - whole) <= Math.abs(steps) * 1e-12
  return Number(((down && !isOnStep ? Math.floor(steps) : whole) / 10 ** digits).toFixed(digits)) + 0
}
