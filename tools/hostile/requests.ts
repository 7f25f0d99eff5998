// One hostile request after the other, the same for the same seed: what is asked, how it is sent, and with whose key.
import { gzipSync } from 'node:zlib'
import type { GraphQLSchema } from 'graphql'
import { type Random, randomFrom } from '../../seeds/random.ts'
import { changedText } from './change-text.ts'
import { flood } from './floods.ts'
import { Grammar } from './grammar.ts'
import { oddText } from './odd-texts.ts'
import { sentDocument } from './sent-documents.ts'

/** Whose keys there are. */
export interface Keys {
  /** Of the distributor that is asked, with every scope. */
  own: string
  /** Of the same, with no scope. */
  unscoped: string
  /** Of another distributor, with every scope. */
  others: string
}

export interface HostileRequest {
  /** What it is, for a report. */
  kind: string
  method: string
  path: string
  headers: Record<string, string>
  body?: Buffer | string
  /** How the body is sent and the answer read. */
  manner: 'PLAIN' | 'SLOW_BODY' | 'SLOW_READER' | 'GONE'
}

const TYPES = [
  ...['text/plain', 'application/xml', 'application/json; charset=utf-16', 'application/graphql', ''],
  ...['multipart/form-data; boundary=x', 'application/x-www-form-urlencoded', 'application/json, text/html', '*/*'],
]
const ACCEPTS = ['*/*', 'text/event-stream', 'text/html', 'application/json', 'multipart/mixed', 'image/png', '']
const PATHS = [
  '/',
  '/graphql/',
  '/graphql%00',
  '/GRAPHQL',
  '//graphql',
  '/documents/problem.json',
  '/documents/plan.json',
  '/export/orders.csv?serveFrom=x',
  '/export/movements.csv',
  '/export/despatch-advices.json?day=x',
  '/export/despatch-advices/x.xml',
  '/import/orders.csv',
  '/import/ubl',
]
const SHEETS = [
  '/sheets/today.html?site=x',
  '/sheets/fill.txt?site=SITE-1',
  '/sheets/load.txt?route=%00',
  '/sheets/x.html',
]
const METHODS = ['GET', 'PUT', 'DELETE', 'OPTIONS', 'PATCH', 'HEAD', 'TRACE', 'PROPFIND']

/** Makes hostile requests without end. `ids` are things that are there. */
export class HostileRequests {
  readonly #random: Random
  readonly #grammar: Grammar
  readonly #keys: Keys

  constructor(schema: GraphQLSchema, keys: Keys, ids: readonly string[], seed: number) {
    this.#random = randomFrom(seed)
    this.#grammar = new Grammar(schema, this.#random.fork('grammar'), ids)
    this.#keys = keys
  }

  next(): HostileRequest {
    const random = this.#random
    const [kind, make] = random.weighted(this.#kinds, ([, , weight]) => weight)
    return { ...make(), kind }
  }

  readonly #kinds: [kind: string, make: () => Omit<HostileRequest, 'kind'>, weight: number][] = [
    ['grammar', () => this.#query(this.#grammar.document()), 45],
    ['changed document', () => this.#query(changedText(this.#grammar.document(), this.#random)), 12],
    ['flood', () => this.#query(flood(this.#random)), 15],
    ['changed body', () => this.#body(changedText(this.#json(this.#grammar.document()), this.#random)), 6],
    ['odd body', () => this.#body(this.#oddBody()), 6],
    ['wrong type', () => this.#wrongType(), 5],
    ['wrong method or path', () => this.#elsewhere(), 5],
    ['by GET', () => this.#byGet(), 4],
    ['sent document', () => this.#sent(), 5],
    ['slow body', () => ({ ...this.#query(this.#grammar.document()), manner: 'SLOW_BODY' }), 0.15],
    ['slow reader', () => ({ ...this.#query(flood(this.#random)), manner: 'SLOW_READER' }), 0.3],
    ['gone', () => ({ ...this.#query(this.#grammar.document()), manner: 'GONE' }), 1.5],
  ]

  #query(document: string): Omit<HostileRequest, 'kind'> {
    return this.#body(this.#json(document))
  }

  #json(query: string): string {
    return JSON.stringify({ query, variables: {} })
  }

  #body(body: string | Buffer): Omit<HostileRequest, 'kind'> {
    const headers = { 'content-type': 'application/json', ...this.#key() }
    return { method: 'POST', path: '/graphql', headers, body, manner: 'PLAIN' }
  }

  #key(): Record<string, string> {
    const random = this.#random
    const { own, unscoped, others } = this.#keys
    const key = random.pick([own, own, own, unscoped, others, 'none', 'wrong'])
    if (key === 'wrong')
      return { authorization: random.pick(['Bearer', 'Bearer  ', 'Basic eDp5', `Bearer ${'x'.repeat(8000)}`]) }
    return key === 'none' ? {} : { authorization: `Bearer ${key}` }
  }

  #oddBody(): string | Buffer {
    const random = this.#random
    const query = this.#grammar.document()
    return random.pick([
      () => '',
      () => 'null',
      () => '[]',
      () => '"x"',
      () => `[${Array.from({ length: 50 }, () => this.#json(query)).join(',')}]`,
      () => JSON.stringify({ query: { a: 1 } }),
      () => JSON.stringify({ query, variables: oddText(random) }),
      () => JSON.stringify({ query, variables: { input: oddText(random) }, operationName: oddText(random) }),
      () => JSON.stringify({ query, extensions: { persistedQuery: { version: 1, sha256Hash: 'x' } } }),
      () => `{"query":${'['.repeat(50_000)}`,
      () => `{"a":`.repeat(20_000),
      () => `{"query":"{ distributor { name } }","__proto__":{"x":1},"constructor":{"prototype":{}}}`,
      () => JSON.stringify({ query, padding: 'x'.repeat(300_000) }),
      () => Buffer.from([0xff, 0xfe, 0x00, 0xc3, 0x28, 0xf0, 0x9f]),
      () => `{"query":"{ distributor { name } }","variables":{"n":${'9'.repeat(5000)}}}`,
      () => gzipSync('x'.repeat(1_000_000)),
    ])()
  }

  #wrongType(): Omit<HostileRequest, 'kind'> {
    const random = this.#random
    const sent = this.#query(this.#grammar.document())
    const headers = { ...sent.headers, 'content-type': random.pick(TYPES), accept: random.pick(ACCEPTS) }
    return { ...sent, headers: random.chance(0.2) ? { ...headers, 'content-encoding': 'gzip' } : headers }
  }

  #elsewhere(): Omit<HostileRequest, 'kind'> {
    const random = this.#random
    const headers = {
      ...this.#key(),
      [random.pick(['x-api-key', 'cookie', 'if-none-match', 'x-y'])]: 'x'.repeat(random.int(1, 3000)),
    }
    const path = random.pick([...PATHS, ...SHEETS, '/graphql'])
    return { method: random.pick(METHODS), path, headers, manner: 'PLAIN' }
  }

  #sent(): Omit<HostileRequest, 'kind'> {
    const { path, type, body } = sentDocument(this.#random)
    const headers: Record<string, string> = { 'content-type': type, ...this.#key() }
    if (this.#random.chance(0.1)) headers['idempotency-key'] = `"${this.#random.int(1, 20)}"`
    return { method: 'POST', path, headers, body, manner: 'PLAIN' }
  }

  #byGet(): Omit<HostileRequest, 'kind'> {
    const query = encodeURIComponent(this.#grammar.document().replace(/[\ud800-\udfff]/g, '')).slice(0, 12_000)
    const accept = this.#random.pick(ACCEPTS)
    return { method: 'GET', path: `/graphql?query=${query}`, headers: { ...this.#key(), accept }, manner: 'PLAIN' }
  }
}
