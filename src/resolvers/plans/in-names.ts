// The planner knows things by the ids of their rows only, so its words do too; people are told what they call them.
import type { Reason } from '../../planner/documents/index.ts'

/** Kinds of things that the planner's words name. */
export type NamedKind =
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
const OF_RESOURCE: Readonly<Record<string, NamedKind[]>> = {
  BATCH: ['batch'],
  BEER: ['beer'],
  FILLER: ['filler'],
  FLEET: ['site', 'containerType'],
  PACK: ['pack'],
  ROUTE: ['route'],
  SITE: ['site'],
  STORE: ['site'],
  VESSEL: ['vessel'],
}

const OF_NOUN: Readonly<Record<string, NamedKind>> = {
  batch: 'batch',
  beer: 'beer',
  filler: 'filler',
  like: 'vessel',
  line: 'orderLine',
  pack: 'pack',
  route: 'route',
  site: 'site',
  type: 'containerType',
  vessel: 'vessel',
}

// "vessel is" names nothing: without a digit or a hyphen a word is an id only where the resource says so.
const NAMED = /\b(batch|beer|filler|like|line|pack|route|site|type|vessel) "?([\w/-]*[\d-][\w/-]*)/gi

/** A reason's message, with names in place of ids; other ids stay. */
export async function inNames(
  { message, resource }: Pick<Reason, 'message' | 'resource'>,
  nameOf: NameOfMention,
): Promise<string> {
  const mentions = new Map<string, NamedKind>()
  for (const [, noun = '', id = ''] of message.matchAll(NAMED)) {
    const kind = OF_NOUN[noun.toLowerCase()]
    if (kind) mentions.set(id, kind)
  }
  const parts = resource?.id.split('/') ?? []
  const kinds = resource ? (OF_RESOURCE[resource.kind] ?? []) : []
  kinds.forEach((kind, index) => {
    const id = parts[index]
    if (id && idIn(id).test(message)) mentions.set(id, kind)
  })
  const names = await Promise.all([...mentions].map(([id, kind]) => nameOf({ kind, id })))
  return [...mentions.keys()].reduce((words, id, index) => {
    const name = names[index]
    return name === undefined ? words : words.replace(idIn(id), () => name)
  }, message)
}

/** The id where it stands alone. */
function idIn(id: string): RegExp {
  return new RegExp(`(?<![\\w/-])${id.replace(/[^\w-]/g, '\\$&')}(?![\\w/-])`, 'g')
}
