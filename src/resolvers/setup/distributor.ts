// The distributor's own settings: its name, its zone, how far plans reach and what their cost terms are worth.
import { z } from 'zod'
import { type Locked, withDistributorLock } from '../../database/distributor-lock.ts'
import { issue } from '../../errors.ts'
import { costsShape, isTimeZone, problemShape } from '../../planner/documents/index.ts'
import type { Actor } from '../actor.ts'
import { Faults } from '../faults.ts'
import { notingRisks } from '../orders/noting-risks.ts'
import { readInput } from '../read-input.ts'
import type { Written } from './noun.ts'
import { name } from './shapes.ts'

const shape = z.strictObject({
  name: name.optional(),
  timeZone: z.string().min(1).max(100).optional(),
  horizonDays: problemShape.shape.horizonDays.optional(),
  frozenDays: problemShape.shape.frozenDays.unwrap().optional(),
  costs: costsShape.partial().optional(),
})

/** Changes what the input names; `costs` replaces all own prices. Throws `InvalidInput`. */
export async function changeDistributor(actor: Actor, input: unknown): Promise<Written> {
  const reading = readInput(shape, input)
  const { given } = reading
  const faults = new Faults()
  faults.take(reading)
  if (Object.values(given).every((value) => value === undefined)) faults.note(issue('', 'NOTHING_TO_CHANGE'))
  if (given.timeZone !== undefined && !isTimeZone(given.timeZone))
    faults.note(issue('timeZone', 'UNKNOWN_TIME_ZONE', `there is no time zone "${given.timeZone}"`))
  faults.settle()
  const { distributorId: id } = actor
  const change = async ({ tx, log }: Locked) => {
    // No one may read the key that signs offers, not in the change log either.
    const omit = { id: true, revision: true, offerKey: true } as const
    const before = await tx.distributor.findUniqueOrThrow({ where: { id }, omit })
    const after = await tx.distributor.update({ where: { id }, data: given, omit })
    log('DISTRIBUTOR_CHANGED', { type: 'Distributor', id }, before, after)
  }
  const { result, revision } = await withDistributorLock(actor, id, (locked) => notingRisks(actor, locked, change))
  if (result.after) actor.snapshots?.keep({ ...result.after, revision })
  return { id, revision }
}
