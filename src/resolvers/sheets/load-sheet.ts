// The load sheet of a route and a day, from the records.
import { z } from 'zod'
import { addDays, localDate } from '../../planner/documents/index.ts'
import { type Empties, type LoadedContainer, type LoadSheet, loadSheet } from '../../sheets/load-sheet.ts'
import type { Actor } from '../actor.ts'
import { fleetPlacesOn } from '../floor/containers.ts'
import { readInput } from '../read-input.ts'
import { References, thingRef } from '../thing-ref.ts'
import { dropAccounts } from './drop-accounts.ts'
import { loadLines } from './load-lines.ts'
import { headOf, nextOf, type SheetSession, withSheetRecords } from './sheet-session.ts'

const shape = z.strictObject({ route: thingRef, day: localDate.optional() })

/** What leaves on a route on a day; `day` absent: the site's today. Throws `InvalidInput`, `NotFound`. */
export async function readLoadSheet(actor: Actor, input: unknown): Promise<LoadSheet> {
  const reading = readInput(shape, input)
  const { distributorId } = actor
  return withSheetRecords(actor, async (session) => {
    const { tx } = session
    const refs = new References(tx, distributorId)
    refs.take(reading)
    const routeId = (await refs.subject('Route', reading.given.route, 'route'))?.id ?? ''
    refs.settle()
    const route = await tx.route.findUniqueOrThrow({
      where: { distributorId_id: { distributorId, id: routeId } },
      include: { site: true },
    })
    const head = headOf(actor, session, route.site, reading.given.day)
    const lines = await loadLines(session, routeId, head.day)
    const accountIds = [...new Set(lines.map(({ accountId }) => accountId))]
    return loadSheet({
      head,
      route: { id: routeId, name: route.name, capacityLitres: route.capacityLitres ?? undefined },
      lines,
      accounts: await dropAccounts(session, routeId, accountIds, addDays(head.day, route.transitDays)),
      empties: await emptiesOf(session, route.siteId),
      containers: await loadedContainers(session),
      nextDay: nextOf(
        session.facts.deliveries.flatMap((each) =>
          each.route.id === routeId ? session.facts.dateOf(each.dispatch) : [],
        ),
        head,
      ),
    })
  })
}

/** The containers of the site that accounts have, by account. */
async function emptiesOf({ tx, distributorId, today }: SheetSession, siteId: string): Promise<Map<string, Empties[]>> {
  const types = await tx.containerType.findMany({ where: { distributorId } })
  const nameOf = new Map(types.map(({ id, name }) => [id, name]))
  const empties = new Map<string, Empties[]>()
  for (const { containerTypeId, accounts } of await fleetPlacesOn(tx, distributorId, today, { siteId }))
    for (const { accountId, quantity, overdue, missing } of accounts)
      empties.set(accountId, [
        ...(empties.get(accountId) ?? []),
        {
          ...{ containerTypeId, containerName: nameOf.get(containerTypeId) ?? '', atAccount: quantity },
          overdue: overdue + missing,
        },
      ])
  return empties
}

/** What the weight of a full container needs, by pack. */
async function loadedContainers({ tx, distributorId }: SheetSession): Promise<Map<string, LoadedContainer>> {
  const packs = await tx.pack.findMany({ where: { distributorId }, include: { containerType: true, beer: true } })
  return new Map(
    packs.map(({ id, containerType: { kind, nominalLitres, overfillFraction, tareKg }, beer: { finalGravity } }) => [
      id,
      {
        ...{ kind, nominalLitres, overfillFraction },
        ...{ tareKg: tareKg ?? undefined, finalGravity: finalGravity ?? undefined },
      },
    ]),
  )
}
