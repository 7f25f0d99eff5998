// The distributor's own settings: its name, its zone, how far plans reach and what their cost terms are worth.
import { z } from 'zod'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { issue } from '../../errors.ts'
import { costsShape, isTimeZone, type LocalDate, localDate } from '../../planner/documents/index.ts'
import type { Actor } from '../actor.ts'
import { Faults } from '../faults.ts'
import { readInput } from '../read-input.ts'
import type { Written } from '../written.ts'
import { MOST_HORIZON } from './limits.ts'
import { routeDayFaults } from './route-days.ts'
import { name } from './shapes.ts'
import { writeSetup } from './write-setup.ts'

const shape = z.strictObject({
  name: name.optional(),
  timeZone: z.string().min(1).max(100).optional(),
  horizonDays: z.int().min(1).max(MOST_HORIZON).optional(),
  frozenDays: z.int().min(0).max(MOST_HORIZON).optional(),
  betterPlans: z.enum(['NEVER', 'OFFERED', 'ADOPTED']).optional(),
  betterPlanSaving: z.number().min(0).max(1).optional(),
  costs: costsShape.partial().optional(),
  closedThrough: localDate.optional(),
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
  return writeSetup(actor, async (tx) => {
    // No one may read the key that signs offers, not in the change log either.
    const omit = { id: true, revision: true, epoch: true, offerKey: true } as const
    const before = await tx.distributor.findUniqueOrThrow({ where: { id }, omit })
    const { closedThrough, ...rest } = given
    if (closedThrough !== undefined) refuseClosing(closedThrough, before)
    if (given.horizonDays !== undefined && given.horizonDays > before.horizonDays)
      await refuseHorizon(tx, id, given.horizonDays)
    const data = { ...rest, ...(closedThrough === undefined ? {} : { closedThrough: dateOf(closedThrough) }) }
    const after = await tx.distributor.update({ where: { id }, data, omit })
    return { kind: 'DISTRIBUTOR_CHANGED', entity: { type: 'Distributor', id }, before, after }
  })
}

/** Throws `InvalidInput` where an account has too many routes for plans that reach so far. */
async function refuseHorizon(tx: TransactionClient, distributorId: string, horizonDays: number): Promise<void> {
  const [most] = await tx.accountRoute.groupBy({
    by: ['accountId'],
    where: { distributorId, account: { retiredAt: null } },
    _count: { routeId: true },
    orderBy: { _count: { routeId: 'desc' } },
    take: 1,
  })
  const faults = new Faults()
  faults.note(...routeDayFaults(most?._count.routeId ?? 0, horizonDays, 'horizonDays'))
  faults.settle()
}

/** Throws `InvalidInput` where a period cannot be closed through the day. */
function refuseClosing(through: LocalDate, now: { closedThrough: Date | null; rolledThrough: Date | null }): void {
  const faults = new Faults()
  if (now.rolledThrough === null || through > dayOf(now.rolledThrough))
    faults.note(issue('closedThrough', 'DAY_NOT_OVER'))
  if (now.closedThrough !== null && through < dayOf(now.closedThrough))
    faults.note(issue('closedThrough', 'PERIOD_CLOSED', `it is closed through ${dayOf(now.closedThrough)}`))
  faults.settle()
}
