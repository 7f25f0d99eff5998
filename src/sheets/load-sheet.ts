// The load sheet of a route and a day: accounts in the order of the drops, what each gets and from which lots, what comes back,
// what it weighs, and what the account's cellar should know.
import type { LocalDate } from '../planner/documents/index.ts'
import { type Caution, cautionsOf } from './cautions.ts'
import type { Figure } from './figure.ts'
import type { NextWork, SheetHead } from './sheet-head.ts'
import { fullWeight } from './weights.ts'

/** Containers of one lot. */
export interface LoadedLot {
  code: string
  /** Whole containers. */
  quantity: number
  bestBefore: LocalDate
}

/** What leaves for one order line, as planned or as it was said to have left. */
export interface LoadedLine {
  orderLineId: string
  accountId: string
  orderNumber: number
  orderRef?: string | undefined
  packId: string
  beerName: string
  packName: string
  containerTypeId: string
  containerName: string
  /** Whole containers. */
  quantity: number
  lots: LoadedLot[]
  /** Nominal litres of all of them. */
  litres: number
  serveOn: LocalDate
  /** Containers rest in the account's cellar until this day (B1). */
  settleUntil: LocalDate
  /** A fact says that it has left. */
  isSaid: boolean
}

/** The container of a line, as its weight needs it. */
export interface LoadedContainer {
  kind: 'CASK' | 'KEG'
  nominalLitres: number
  overfillFraction: number
  tareKg?: number | undefined
  finalGravity?: number | undefined
}

/** An account as the set-up describes it for the driver. */
export interface DropAccount {
  id: string
  name: string
  /** Its place on the route, from 1. Absent: after those that have one, by name. */
  position?: number | undefined
  notes?: string | undefined
  /** When it takes deliveries on the day, such as `08:00–10:30`. */
  windows: readonly string[]
}

/** Empty containers that the account has. */
export interface Empties {
  containerTypeId: string
  containerName: string
  /** Whole containers of deliveries before this one, full ones and empty ones. */
  atAccount: number
  /** Those of them that should have come back already. */
  overdue: number
}

export interface Drop {
  account: DropAccount
  lines: LoadedLine[]
  empties: Empties[]
  litres: number
  /** Undefined value where a container has no tare. */
  weight: LoadWeight
}

/** Kilograms of a load; `value` is absent where the tare of a container is not known. */
export interface LoadWeight {
  kg?: number
  /** What of the set-up is missing, by container. */
  missing: string[]
}

export interface LoadSheet extends SheetHead, NextWork {
  routeId: string
  routeName: string
  /** Nominal litres that the route carries (D1). */
  capacityLitres?: number | undefined
  drops: Drop[]
  /** Whole containers by type, in order of name. */
  containers: { containerName: string; quantity: number; each: Figure }[]
  litres: number
  weight: LoadWeight
  cautions: Caution[]
}

export interface LoadSheetInput {
  head: SheetHead
  route: { id: string; name: string; capacityLitres?: number | undefined }
  lines: readonly LoadedLine[]
  accounts: ReadonlyMap<string, DropAccount>
  empties: ReadonlyMap<string, readonly Empties[]>
  /** By pack. */
  containers: ReadonlyMap<string, LoadedContainer>
  /** The next day on which something leaves on the route. */
  nextDay?: LocalDate | undefined
}

/** Puts the sheet together: drops by their place on the route, lines of a drop by beer and container. */
export function loadSheet({ head, route, lines, nextDay, ...input }: LoadSheetInput): LoadSheet {
  const { accounts, empties, containers } = input
  const weightOf = (line: LoadedLine) => weightEach(line, containers)
  const drops = [...accounts.values()]
    .map((account) => {
      const own = lines.filter(({ accountId }) => accountId === account.id).sort(byBeer)
      return {
        ...{ account, lines: own, empties: [...(empties.get(account.id) ?? [])] },
        litres: sum(own, ({ litres }) => litres),
        weight: weightOfLines(own, weightOf),
      }
    })
    .filter(({ lines: own }) => own.length > 0)
    .sort(byPlace)
  const inOrder = drops.flatMap((drop) => drop.lines)
  const loaded = containersOf(inOrder, weightOf)
  return {
    ...head,
    ...{ routeId: route.id, routeName: route.name, capacityLitres: route.capacityLitres, drops },
    containers: loaded,
    ...(drops.length === 0 ? { nextDay } : {}),
    litres: sum(inOrder, ({ litres }) => litres),
    weight: weightOfLines(inOrder, weightOf),
    cautions: cautionsOf({
      ...NO_CELLAR_WORK,
      handled: inOrder.map((line) => ({
        name: line.containerName,
        kind: containers.get(line.packId)?.kind ?? 'CASK',
        weight: weightOf(line),
      })),
    }),
  }
}

/** On the road beer is carried, and nothing else is done with it. */
const NO_CELLAR_WORK = {
  ...{ draws: false, cleans: false, closesCasks: false, opensReturned: false },
  ...{ purges: false, primes: false, isUnfinished: false },
}

/** Those with a place on the route first, in its order; then by name. */
function byPlace({ account: a }: Drop, { account: b }: Drop): number {
  const places = (a.position ?? Number.POSITIVE_INFINITY) - (b.position ?? Number.POSITIVE_INFINITY)
  return places || (a.name < b.name ? -1 : a.name > b.name ? 1 : 0)
}

function byBeer(a: LoadedLine, b: LoadedLine): number {
  const [one, other] = [a, b].map((line) => `${line.beerName}\n${line.containerName}\n${line.orderNumber}`)
  return (one ?? '') < (other ?? '') ? -1 : 1
}

/** The weight of one full container of a line, in kilograms. */
function weightEach({ packId }: LoadedLine, containers: LoadSheetInput['containers']): Figure {
  const container = containers.get(packId)
  const litres = (container?.nominalLitres ?? 0) * (1 + (container?.overfillFraction ?? 0))
  return fullWeight({ tareKg: container?.tareKg, litres, finalGravity: container?.finalGravity })
}

function weightOfLines(lines: readonly LoadedLine[], weightOf: (line: LoadedLine) => Figure): LoadWeight {
  const weighed = lines.map((line) => ({ line, each: weightOf(line).value }))
  const missing = weighed.flatMap(({ line, each }) => (each === undefined ? [line.containerName] : []))
  if (missing.length > 0) return { missing: [...new Set(missing)].sort() }
  return { kg: sum(weighed, ({ line, each }) => line.quantity * (each ?? 0)), missing: [] }
}

function containersOf(lines: readonly LoadedLine[], weightOf: (line: LoadedLine) => Figure): LoadSheet['containers'] {
  const byName = new Map<string, LoadSheet['containers'][number]>()
  for (const line of lines) {
    const known = byName.get(line.containerName)
    const each = weightOf(line)
    if (!known)
      byName.set(line.containerName, { ...{ containerName: line.containerName, each }, quantity: line.quantity })
    else {
      known.quantity += line.quantity
      // The heaviest beer counts for the caution.
      if ((each.value ?? 0) > (known.each.value ?? 0)) known.each = each
    }
  }
  return [...byName.values()].sort((a, b) => (a.containerName < b.containerName ? -1 : 1))
}

function sum<Each>(list: readonly Each[], of: (each: Each) => number): number {
  return list.reduce((total, each) => total + of(each), 0)
}
