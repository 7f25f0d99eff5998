// Where the containers of each fleet are, counted by place, with the accounts that have some.
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import type { TransactionClient } from '../../database/client.ts'
import type { ContainersOut, FleetContainers } from '../../floor/containers/fleet-containers.ts'
import { addDays, type LocalDate } from '../../planner/documents/index.ts'
import { readFleetContainers } from '../../records/expected-containers.ts'
import { setupOnDay } from '../../records/setup-on-day.ts'
import { readSetupTables, setupRows } from '../../records/setup-rows.ts'
import type { Actor } from '../actor.ts'
import { readInput } from '../read-input.ts'
import { References, thingRef } from '../thing-ref.ts'

const shape = z.strictObject({ site: thingRef.optional(), containerType: thingRef.optional() })

/** Most fleets, and accounts or days of a fleet, of one answer. */
export const MOST_FLEETS = 1000
export const MOST_ENTRIES = 5000

/** The containers of a fleet that an account has. */
export interface AccountContainers {
  accountId: string
  quantity: number
  /** The day on which the oldest of them came; null where that was before the records go back. */
  since: LocalDate | null
  /** The day on which the next of them is expected; null where nothing says. */
  expectedOn: LocalDate | null
  /** Expected before today, and still counted on. */
  overdue: number
  /** Overdue for so long that they count as missing. */
  missing: number
}

/** The containers of one type that belong to one site, each in exactly one place. */
export interface FleetPlaces {
  siteId: string
  containerTypeId: string
  clean: number
  filled: number
  onRoad: number
  /** At accounts, without those that are missing. */
  atAccounts: number
  missing: number
  dirty: number
  washing: number
  accounts: AccountContainers[]
  /** Listed by the set-up as coming back, and not come. */
  announced: number
  announcedMissing: number
  expected: { on: LocalDate; quantity: number }[]
}

/** The fleets that are asked for, in order of site and type. Throws `InvalidInput`. */
export async function fleetPlaces(actor: Actor, input: unknown): Promise<FleetPlaces[]> {
  const reading = readInput(shape, input)
  const { client, clock, distributorId } = actor
  return client.$transaction(
    async (tx) => {
      const { site, containerType } = reading.given
      const refs = new References(tx, distributorId)
      refs.take(reading)
      const siteId = site && (await refs.id('Site', site, 'site', { retired: true }))
      const typeId =
        containerType && (await refs.id('ContainerType', containerType, 'containerType', { retired: true }))
      refs.settle()
      const { timeZone } = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId } })
      return fleetPlacesOn(tx, distributorId, todayIn(clock, timeZone), { siteId, typeId })
    },
    { isolationLevel: 'RepeatableRead' },
  )
}

/** The fleets of a site, of a type, or all, as the snapshot of `tx` has them. `today` is the distributor's. */
export async function fleetPlacesOn(
  tx: TransactionClient,
  distributorId: string,
  today: LocalDate,
  { siteId, typeId }: { siteId?: string | undefined; typeId?: string | undefined },
): Promise<FleetPlaces[]> {
  const filled = await filledByFleet(tx, distributorId)
  const none = new Set<string>()
  const named = { vesselIds: none, siteIds: none, beerIds: none, packIds: none, accountIds: none }
  const tables = await readSetupTables(tx, distributorId)
  const setup = await setupOnDay(tx, distributorId, setupRows(tables, named), { today, lastDay: addDays(today, 1) })
  const wanted = setup.fleets.filter(
    (fleet) =>
      (siteId === undefined || fleet.siteId === siteId) && (typeId === undefined || fleet.containerTypeId === typeId),
  )
  const { fleets } = await readFleetContainers(tx, distributorId, { ...setup, fleets: wanted }, today, tables)
  const cleanNow = new Map(wanted.map((fleet) => [keyOf(fleet.siteId, fleet.containerTypeId), fleet.cleanNow]))
  return fleets.slice(0, MOST_FLEETS).map((fleet) => {
    const key = keyOf(fleet.siteId, fleet.typeId)
    return placesOf(fleet, cleanNow.get(key) ?? 0, filled.get(key) ?? 0)
  })
}

const keyOf = (siteId: string, typeId: string) => JSON.stringify([siteId, typeId])

/** Filled containers that stand at their site, by fleet. */
async function filledByFleet(tx: TransactionClient, distributorId: string): Promise<Map<string, number>> {
  const sums = await tx.stockLot.groupBy({
    by: ['siteId', 'packId'],
    where: { distributorId, quantity: { gt: 0 } },
    _sum: { quantity: true },
  })
  const packs = await tx.pack.findMany({ where: { distributorId }, select: { id: true, containerTypeId: true } })
  const typeOf = new Map(packs.map(({ id, containerTypeId }) => [id, containerTypeId]))
  const filled = new Map<string, number>()
  for (const { siteId, packId, _sum } of sums) {
    const key = keyOf(siteId, typeOf.get(packId) ?? '')
    filled.set(key, (filled.get(key) ?? 0) + (_sum.quantity ?? 0))
  }
  return filled
}

function placesOf(fleet: FleetContainers, clean: number, filled: number): FleetPlaces {
  const { siteId, typeId, out, washing, dirty, returns } = fleet
  const atAccount = out.filter(({ accountId, onRoad }) => accountId !== undefined && !onRoad)
  const listed = out.filter(({ accountId }) => accountId === undefined)
  const isMissing = ({ outlook }: ContainersOut) => outlook === 'MISSING'
  return {
    ...{ siteId, containerTypeId: typeId, clean, filled, dirty, washing },
    onRoad: sum(out.filter(({ onRoad }) => onRoad)),
    atAccounts: sum(atAccount.filter((each) => !isMissing(each))),
    missing: sum(atAccount.filter(isMissing)),
    accounts: accountsOf(atAccount),
    announced: sum(listed.filter((each) => !isMissing(each))),
    announcedMissing: sum(listed.filter(isMissing)),
    expected: returns.slice(0, MOST_ENTRIES),
  }
}

function accountsOf(out: readonly ContainersOut[]): AccountContainers[] {
  const ids = [...new Set(out.flatMap(({ accountId }) => accountId ?? []))].sort()
  return ids.slice(0, MOST_ENTRIES).map((accountId) => {
    // Oldest first.
    const own = out.filter((each) => each.accountId === accountId)
    const expected = own.filter(({ outlook }) => outlook === 'DUE' || outlook === 'OVERDUE')
    return {
      ...{ accountId, quantity: sum(own), since: own[0]?.since ?? null },
      expectedOn: expected[0]?.expectedOn ?? null,
      overdue: sum(own.filter(({ outlook }) => outlook === 'OVERDUE')),
      missing: sum(own.filter(({ outlook }) => outlook === 'MISSING')),
    }
  })
}

function sum(list: readonly { quantity: number }[]): number {
  return list.reduce((total, { quantity }) => total + quantity, 0)
}
