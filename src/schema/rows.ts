// Rows by id, for answers that the planner gives by ids: what one step of a query asks for is read in one query a table.
import DataLoader from 'dataloader'
import type { PrismaClient } from '../database/client.ts'
import { type PlannedRun, plannedLotCodes } from '../resolvers/floor/lot-codes.ts'
import { NamesOf } from '../resolvers/plans/names.ts'
import type { NamedKind } from '../words/mentions.ts'

export class Rows {
  readonly account
  readonly vessel
  readonly beer
  readonly batch
  readonly filler
  readonly site
  readonly containerType
  readonly route
  readonly pack
  readonly stockLot
  readonly orderLine
  readonly fact
  readonly apiKey
  /** What facts are about, by the fact's id. */
  readonly subjects
  /** The codes of the lots that planned runs will be. */
  readonly lotCodes
  readonly #names: NamesOf

  constructor(client: PrismaClient, distributorId: string) {
    this.#names = new NamesOf(client, distributorId)
    const many = (ids: readonly string[]) => ({ where: { distributorId, id: { in: [...ids] } } })
    this.account = loaderOf((ids) => client.account.findMany(many(ids)))
    this.vessel = loaderOf((ids) => client.vessel.findMany(many(ids)))
    this.beer = loaderOf((ids) => client.beer.findMany(many(ids)))
    this.batch = loaderOf((ids) => client.batch.findMany(many(ids)))
    this.filler = loaderOf((ids) => client.filler.findMany(many(ids)))
    this.site = loaderOf((ids) => client.site.findMany(many(ids)))
    this.containerType = loaderOf((ids) => client.containerType.findMany(many(ids)))
    this.route = loaderOf((ids) => client.route.findMany(many(ids)))
    this.pack = loaderOf((ids) => client.pack.findMany(many(ids)))
    this.stockLot = loaderOf((ids) => client.stockLot.findMany(many(ids)))
    this.apiKey = loaderOf((ids) => client.apiKey.findMany(many(ids)))
    this.fact = loaderOf((ids) => client.fact.findMany(many(ids)))
    this.subjects = new DataLoader(async (ids: readonly string[]) => {
      const where = { distributorId, factId: { in: [...ids] } }
      const found = await client.factSubject.findMany({ where, orderBy: { subjectId: 'asc' } })
      return ids.map((id) => found.filter(({ factId }) => factId === id))
    })
    this.lotCodes = new DataLoader<PlannedRun, string, string>((runs) => plannedLotCodes(client, distributorId, runs), {
      cacheKeyFn: ({ planId, id }) => `${planId}/${id}`,
    })
    this.orderLine = loaderOf((ids) => client.orderLine.findMany(many(ids)))
  }

  /** What people call a thing, a batch by its code; undefined where there is no such thing. */
  async nameOf(kind: NamedKind, id: string): Promise<string | undefined> {
    if (kind === 'batch') return (await this.batch.load(id))?.code
    if (kind === 'orderLine') return this.#names.find(kind, id)
    return (await this[kind].load(id))?.name
  }
}

/** The row with an id, or null where there is none. */
function loaderOf<Row extends { id: string }>(find: (ids: readonly string[]) => Promise<Row[]>) {
  return new DataLoader<string, Row | null>(async (ids) => {
    const rows = new Map((await find(ids)).map((row) => [row.id, row]))
    return ids.map((id) => rows.get(id) ?? null)
  })
}
