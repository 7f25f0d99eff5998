// The things that a reason is about, by kind and id: people read their names instead.
import type { Reason } from '../planner/documents/index.ts'

/** Kinds of things that reasons name. */
export type NamedKind =
  | 'account'
  | 'batch'
  | 'beer'
  | 'containerType'
  | 'filler'
  | 'orderLine'
  | 'pack'
  | 'route'
  | 'site'
  | 'vessel'

/** A thing that is named by its id. */
export interface Mention {
  kind: NamedKind
  id: string
}

/** What a thing is called; undefined where the records have no such thing, as a brew that is only planned. */
export type NameOfMention = (mention: Mention) => Promise<string | undefined>

/** What a reason's resource is, part by part: a fleet is a site's containers of a type, a store is a site's climate. */
const OF_RESOURCE: Readonly<Record<string, readonly NamedKind[]>> = {
  ACCOUNT: ['account'],
  BATCH: ['batch'],
  BEER: ['beer'],
  CONTAINER_TYPE: ['containerType'],
  FILLER: ['filler'],
  FLEET: ['site', 'containerType'],
  ORDER_LINE: ['orderLine'],
  PACK: ['pack'],
  ROUTE: ['route'],
  SITE: ['site'],
  STORE: ['site'],
  VESSEL: ['vessel'],
}

/** What the params of a reason name. */
const OF_PARAM: Readonly<Record<string, NamedKind>> = {
  accountId: 'account',
  beerId: 'beer',
  brewId: 'batch',
  containerTypeId: 'containerType',
  packId: 'pack',
}

/** The parts of a reason's resource: one id, or a site's and what of it. */
export function partsOf({ resource }: Pick<Reason, 'resource'>): string[] {
  if (!resource) return []
  const slash = resource.id.lastIndexOf('/')
  const hasParts = resource.kind === 'FLEET' || resource.kind === 'STORE'
  return hasParts && slash >= 0 ? [resource.id.slice(0, slash), resource.id.slice(slash + 1)] : [resource.id]
}

/** The things of a reason's resource, in the order of its parts. */
export function resourceMentions(reason: Pick<Reason, 'resource'>): Mention[] {
  const kinds = OF_RESOURCE[reason.resource?.kind ?? ''] ?? []
  return partsOf(reason).flatMap((id, index) => {
    const kind = kinds[index]
    return kind ? [{ kind, id }] : []
  })
}

/** The thing that a param of a reason names; undefined where it names none. */
export function paramMention({ params }: Pick<Reason, 'params'>, param: string): Mention | undefined {
  const [kind, id] = [OF_PARAM[param], params?.[param]]
  return kind && typeof id === 'string' ? { kind, id } : undefined
}

/** All things that a reason names. */
export function mentionsOf(reason: Pick<Reason, 'resource' | 'params'>): Mention[] {
  const named = Object.keys(reason.params ?? {}).flatMap((param) => paramMention(reason, param) ?? [])
  return [...resourceMentions(reason), ...named]
}
