// A document of XML as a tree. Nothing in it reaches beyond it or grows: a DOCTYPE is refused, so that there are no entities but the five
// of XML, and depth and number of elements are bounded. Namespaces count, prefixes do not.
import { SaxesParser } from 'saxes'
import { PREFIXES } from './namespaces.ts'

/** Levels of elements within elements; orders have about ten. */
export const MOST_LEVELS = 32
/** Elements of a document; an order of 200 lines has some thousands. */
export const MOST_ELEMENTS = 50_000

/** An element with what it holds. */
export interface XmlElement {
  /** The URI of its namespace; '' where it has none. */
  namespace: string
  name: string
  /** By name; those with a namespace of their own are left out. */
  attributes: ReadonlyMap<string, string>
  /** Its own text without spaces around it. */
  text: string
  children: readonly XmlElement[]
  parent: XmlElement | undefined
  /** Its place among those of its name within its parent, from 1. */
  place: number
  /** How many of each name it holds. */
  counts: ReadonlyMap<string, number>
}

type Growing = Omit<XmlElement, 'children' | 'text' | 'parent' | 'counts'> & {
  children: Growing[]
  text: string
  parent: Growing | undefined
  counts: Map<string, number>
}

/** What cannot be read, in words. */
export class XmlFault extends Error {}

/** The root of a document in UTF-8. Throws `XmlFault`. */
export function readXml(bytes: Uint8Array): XmlElement {
  const parser = new SaxesParser({ xmlns: true })
  let root: Growing | undefined
  let open: Growing | undefined
  let [level, count] = [0, 0]
  parser.on('error', ({ message }) => {
    throw new XmlFault(`it is not well-formed at ${message.replace(/^(\d+):(\d+): /, 'line $1, column $2: ')}`)
  })
  parser.on('doctype', () => {
    throw new XmlFault('it has a DOCTYPE')
  })
  parser.on('xmldecl', ({ encoding }) => {
    if (encoding !== undefined && !/^utf-?8$/i.test(encoding)) throw new XmlFault(`it is in ${encoding}, not in UTF-8`)
  })
  parser.on('opentag', ({ uri, local, attributes }) => {
    level += 1
    count += 1
    if (level > MOST_LEVELS) throw new XmlFault(`it has elements more than ${MOST_LEVELS} levels deep`)
    if (count > MOST_ELEMENTS) throw new XmlFault(`it has more than ${MOST_ELEMENTS.toLocaleString('en')} elements`)
    const plain = Object.values(attributes).flatMap(({ uri: of, local: name, value }): [string, string][] =>
      of === '' ? [[name, value]] : [],
    )
    const place = (open?.counts.get(keyOf(uri, local)) ?? 0) + 1
    const element: Growing = {
      ...{ namespace: uri, name: local, attributes: new Map(plain), text: '', children: [], parent: open },
      ...{ place, counts: new Map() },
    }
    open?.children.push(element)
    open?.counts.set(keyOf(uri, local), place)
    root ??= element
    open = element
  })
  const addText = (text: string) => {
    if (open) open.text += text
  }
  parser.on('text', addText)
  parser.on('cdata', addText)
  parser.on('closetag', () => {
    level -= 1
    if (open) open.text = open.text.trim()
    open = open?.parent
  })
  parser.write(asText(bytes)).close()
  if (!root) throw new XmlFault('it has no element')
  return root
}

function asText(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    throw new XmlFault('it is not in UTF-8')
  }
}

/** Where an element stands, as XPath writes it: `Order/cac:OrderLine[2]/cac:LineItem`. Several of a name are numbered from 1. */
export function pathOf(element: XmlElement): string {
  const { parent } = element
  if (!parent) return nameOf(element)
  const isAlone = parent.counts.get(keyOf(element.namespace, element.name)) === 1
  const place = isAlone ? '' : `[${element.place}]`
  return `${pathOf(parent)}/${nameOf(element)}${place}`
}

function keyOf(namespace: string, name: string): string {
  return `${namespace} ${name}`
}

/** The name with the prefix that examples use. */
export function nameOf({ namespace, name }: Pick<XmlElement, 'namespace' | 'name'>): string {
  return `${PREFIXES.get(namespace) ?? `{${namespace}}`}${name}`
}

/** Whether an element has that name. */
export function isCalled(element: XmlElement, namespace: string, name: string): boolean {
  return element.namespace === namespace && element.name === name
}
