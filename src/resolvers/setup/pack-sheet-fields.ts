// What a pack needs on a fill sheet: values that belong together, and what is wrong with them.
import type { z } from 'zod'
import type { Prisma } from '../../database/client.ts'
import { issue } from '../../errors.ts'
import type { Faults } from '../faults.ts'
import type { onSheets } from './limits.ts'

type Fields = Partial<{ [Field in keyof typeof onSheets.pack]: z.output<(typeof onSheets.pack)[Field]> }>

type PackRow = Prisma.PackGetPayload<{ omit: { distributorId: true; id: true; retiredAt: true; updatedAt: true } }>

/** The columns of values that were not given. */
export const NOT_SET_UP = {
  primingWindowDays: null,
  ...{ finingsProduct: null, finingsMl: null, finingsPer: null, sugar: null, hopsPerLitre: null },
  ...{ targetCarbonation: null, leastCarbonation: null, mostCarbonation: null, purged: null },
} as const

/** The fields as an input describes them. */
export function sheetFieldsOf(row: PackRow): Fields {
  return {
    finingsProduct: row.finingsProduct ?? undefined,
    finingsMl: row.finingsMl ?? undefined,
    finingsPer: row.finingsPer ?? undefined,
    sugar: row.sugar ?? undefined,
    targetCarbonation: row.targetCarbonation ?? undefined,
    leastCarbonation: row.leastCarbonation ?? undefined,
    mostCarbonation: row.mostCarbonation ?? undefined,
    hopsPerLitre: row.hopsPerLitre ?? undefined,
    purged: row.purged ?? undefined,
  }
}

const FININGS = ['finingsProduct', 'finingsMl', 'finingsPer'] as const

/** Finings need a product, a rate and what the rate is for; the target lies within the band. */
export function noteSheetFaults(faults: Faults, given: Fields): void {
  const absent = FININGS.filter((field) => given[field] === undefined)
  if (absent.length > 0 && absent.length < FININGS.length)
    for (const field of absent)
      faults.noteBeside(
        FININGS.filter((each) => each !== field),
        issue(field, 'MISSING_VALUE', 'finings need a product, millilitres, and the volume of beer that they are for'),
      )
  const { targetCarbonation: target, leastCarbonation: least, mostCarbonation: most } = given
  const beside = (field: string, words: string, other: string) =>
    faults.noteBeside([other], issue(field, 'OUT_OF_RANGE', words))
  if (least !== undefined && most !== undefined && least > most)
    beside('leastCarbonation', `is ${least}; at most ${most} volumes are allowed`, 'mostCarbonation')
  else if (target !== undefined && least !== undefined && target < least)
    beside('targetCarbonation', `is ${target}; at least ${least} volumes are wanted`, 'leastCarbonation')
  else if (target !== undefined && most !== undefined && target > most)
    beside('targetCarbonation', `is ${target}; at most ${most} volumes are allowed`, 'mostCarbonation')
}
