// The plan in force as a table: its brews, transfers, fills, and what leaves, each with the names that people know. All of one revision.
import type { Facts } from '../../planner/index.ts'
import { byId } from '../../records/sheet-records.ts'
import { type Cell, rounded } from '../../tables/cells.ts'
import { type DecisionModel, decisionGlobalId } from '../plans/plan-ref.ts'
import { type SheetSession, withSheetRecords } from '../sheets/sheet-session.ts'
import { type Column, NAMED, named, tableOf, withoutParameters } from './table.ts'

const NAMES = [
  ...['kind', 'day', 'id', 'site', 'beer', 'beerName', 'batch', 'vessel', 'fromVessel', 'litres'],
  ...['pack', 'packName', 'quantity', 'filler', 'lot', 'fillRun'],
  ...['route', 'account', 'accountName', 'orderNumber', 'orderRef', 'serveOn', 'fixed'],
] as const
type Row = Partial<Record<(typeof NAMES)[number], Cell>>

const COLUMNS = NAMES.map((name): Column<Row> => ({ name, of: (row) => row[name] }))

/** Rows of one page. */
const PAGE = 500

/** The plan in force; nothing but the names of the columns where there is none. Orders are named for those who may read orders. */
export const plan = tableOf<Row>(
  'plan:read',
  COLUMNS,
  async (actor, parameters) => {
    withoutParameters(parameters)
    const rows = await withSheetRecords(actor, async (session) => {
      const names = await readNames(session, actor.mayRead?.('Order') ?? true)
      return [...work(session.facts, names), ...dispatches(session.facts, names)]
    })
    let at = 0
    return {
      count: rows.length,
      page: async () => {
        at += PAGE
        return rows.slice(at - PAGE, at)
      },
    }
  },
  { asksPlanner: true },
)

type NamedRow = { id: string; externalRef: string | null; name: string }

/** What the rows of the plan name, by their ids. */
interface Names {
  /** The id of the API for a decision of the plan. */
  decision: (kind: DecisionModel, id: string) => string
  sites: Map<string, NamedRow>
  beers: Map<string, NamedRow>
  packs: Map<string, NamedRow>
  vessels: Map<string, NamedRow>
  fillers: Map<string, NamedRow>
  routes: Map<string, NamedRow>
  accounts: Map<string, NamedRow>
  /** Codes of batches and of stock lots; a brew that is only planned has none. */
  batches: Map<string, { code: string }>
  lots: Map<string, { code: string }>
  /** Orders of order lines; none where the caller may not read orders. */
  lines: Map<string, { order: { number: number; externalRef: string | null } }>
}

async function readNames({ tx, distributorId, facts, planId }: SheetSession, withOrders: boolean): Promise<Names> {
  const all = { where: { distributorId }, ...NAMED }
  const coded = (ids: readonly string[]) => ({
    where: { distributorId, id: { in: [...new Set(ids)] } },
    select: { id: true, code: true },
  })
  const lineIds = withOrders ? facts.plan.deliveries.map(({ orderLineId }) => orderLineId) : []
  return {
    decision: (kind, id) => decisionGlobalId(kind, { planId: planId ?? '', id }),
    sites: byId(await tx.site.findMany(all)),
    beers: byId(await tx.beer.findMany(all)),
    packs: byId(await tx.pack.findMany(all)),
    vessels: byId(await tx.vessel.findMany(all)),
    fillers: byId(await tx.filler.findMany(all)),
    routes: byId(await tx.route.findMany(all)),
    accounts: byId(await tx.account.findMany(all)),
    batches: byId(await tx.batch.findMany(coded(facts.problem.batches.map(({ id }) => id)))),
    lots: byId(await tx.stockLot.findMany(coded(facts.problem.stock.map(({ id }) => id)))),
    lines: byId(
      await tx.orderLine.findMany({
        where: { distributorId, id: { in: lineIds } },
        select: { id: true, order: { select: { number: true, externalRef: true } } },
      }),
    ),
  }
}

/** What is done in the cellar: brews, transfers, fills and what is poured away. */
function work({ plan, vessels, batches, runs }: Facts, names: Names): Row[] {
  const ofBatch = (id: string) => {
    const batch = batches.get(id)
    return { ...beerOf(names, batch?.beer.id ?? ''), batch: names.batches.get(id)?.code ?? id }
  }
  const at = (vesselId: string) => ({
    site: named('Site', names.sites.get(vessels.get(vesselId)?.siteId ?? '')),
    vessel: named('Vessel', names.vessels.get(vesselId)),
  })
  return [
    ...plan.brews.map(({ id, brewOn: day, beerId, vesselId, litres, fixed }) => ({
      ...{
        kind: 'BREW',
        day,
        id: names.decision('PlannedBrew', id),
        ...at(vesselId),
        ...beerOf(names, beerId),
        batch: id,
      },
      ...{ litres: rounded(litres, 3), fixed: fixed ?? false },
    })),
    ...plan.transfers.map(({ id, on: day, batchId, toVesselId, litres, fixed }) => ({
      ...{ kind: 'TRANSFER', day, id: names.decision('PlannedTransfer', id), ...at(toVesselId), ...ofBatch(batchId) },
      fromVessel: named('Vessel', names.vessels.get(batches.get(batchId)?.stays[0]?.vessel.id ?? '')),
      ...{ litres: rounded(litres, 3), fixed: fixed ?? false },
    })),
    ...runs.map(({ run: { id, on: day, batchId, packId, quantity, fixed }, filler, stay }) => ({
      ...{
        kind: 'FILL',
        day,
        id: names.decision('FillRun', id),
        ...at(stay.vessel.id),
        ...ofBatch(batchId),
        ...packOf(names, packId),
        quantity,
      },
      ...{ filler: named('Filler', names.fillers.get(filler.id)), fixed: fixed ?? false },
    })),
    ...plan.dumped.map(({ batchId, on: day, litres }) => ({
      ...{ kind: 'DUMP', day, ...ofBatch(batchId), litres: rounded(litres, 3) },
    })),
  ]
}

/** What leaves: a row for each lot or fill that a delivery takes from. */
function dispatches({ deliveries }: Facts, names: Names): Row[] {
  return deliveries.flatMap(({ delivery, line, account, route, of, sources }) => {
    const order = names.lines.get(line.id)?.order
    const whole = {
      ...{ kind: 'DISPATCH', day: delivery.dispatchOn, serveOn: delivery.serveOn },
      site: named('Site', names.sites.get(route.siteId)),
      ...{ ...beerOf(names, of.beer.id), ...packOf(names, line.packId) },
      route: named('Route', names.routes.get(route.id)),
      account: named('Account', names.accounts.get(account.id)),
      accountName: names.accounts.get(account.id)?.name,
      ...{ orderNumber: order?.number, orderRef: order?.externalRef },
    }
    return sources.map(({ parcel, quantity }) => ({
      ...{ ...whole, quantity, fillRun: parcel.run && names.decision('FillRun', parcel.run.run.id) },
      lot: parcel.lot && (names.lots.get(parcel.lot.id)?.code ?? parcel.lot.id),
    }))
  })
}

function beerOf({ beers }: Names, id: string) {
  return { beer: named('Beer', beers.get(id)), beerName: beers.get(id)?.name }
}

function packOf({ packs }: Names, id: string) {
  return { pack: named('Pack', packs.get(id)), packName: packs.get(id)?.name }
}
