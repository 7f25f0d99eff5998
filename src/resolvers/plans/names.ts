// What people call the things of the records, looked up by the ids of their rows.
import type { TransactionClient } from '../../database/client.ts'
import type { NamedKind } from '../../words/mentions.ts'

export class NamesOf {
  readonly #tx: TransactionClient
  readonly #distributorId: string

  constructor(tx: TransactionClient, distributorId: string) {
    this.#tx = tx
    this.#distributorId = distributorId
  }

  /** The name of a thing; its id where there is no such thing. */
  async of(kind: NamedKind, id: string): Promise<string> {
    return (await this.find(kind, id)) ?? id
  }

  /** The name of a thing, a batch's code, an order line as order and line number; undefined where there is no such thing. */
  async find(kind: NamedKind, id: string): Promise<string | undefined> {
    if (kind === 'batch') return (await this.#tx.batch.findUnique({ where: this.#key(id) }))?.code
    if (kind !== 'orderLine') return (await this.#find(kind, id))?.name
    const select = { lineNumber: true, order: { select: { number: true } } } as const
    const line = await this.#tx.orderLine.findUnique({ where: this.#key(id), select })
    return line ? `${line.order.number}/${line.lineNumber}` : undefined
  }

  /** A fleet with what its containers are called, and where they belong. */
  async fleet(id: string): Promise<{ siteId: string; containerTypeId: string; name: string }> {
    const row = await this.#tx.fleet.findUnique({
      where: this.#key(id),
      include: { site: { select: { name: true } }, containerType: { select: { name: true } } },
    })
    if (!row) return { siteId: '', containerTypeId: '', name: id }
    const { siteId, containerTypeId, site, containerType } = row
    return { siteId, containerTypeId, name: `${containerType.name} at ${site.name}` }
  }

  /** A store with its climate. */
  async store(id: string): Promise<{ siteId: string; climate: 'COLD' | 'WARM'; name: string }> {
    const row = await this.#tx.store.findUnique({ where: this.#key(id) })
    return row ?? { siteId: '', climate: 'COLD', name: id }
  }

  #key(id: string) {
    return { distributorId_id: { distributorId: this.#distributorId, id } }
  }

  #find(kind: Exclude<NamedKind, 'batch' | 'orderLine'>, id: string): Promise<{ name: string } | null> {
    const query = { where: this.#key(id), select: { name: true } } as const
    switch (kind) {
      case 'vessel':
        return this.#tx.vessel.findUnique(query)
      case 'filler':
        return this.#tx.filler.findUnique(query)
      case 'site':
        return this.#tx.site.findUnique(query)
      case 'route':
        return this.#tx.route.findUnique(query)
      case 'beer':
        return this.#tx.beer.findUnique(query)
      case 'containerType':
        return this.#tx.containerType.findUnique(query)
      case 'account':
        return this.#tx.account.findUnique(query)
      case 'pack':
        return this.#tx.pack.findUnique(query)
    }
  }
}
