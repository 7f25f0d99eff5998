// Traces by the OpenTelemetry protocol over HTTP in JSON (OTLP 1.x, `/v1/traces`): spans are gathered and sent every few seconds. What cannot be
// sent is dropped and counted: nothing waits for it.
import { randomBytes } from 'node:crypto'
import type { TraceParent } from './trace-parent.ts'

export interface EndedSpan {
  name: string
  /** How long it took; it ends now. */
  seconds: number
  attributes: Readonly<Record<string, string | number>>
  /** Whether it answers a caller. */
  isServer?: boolean
  /** Whether it ended with a fault of ours. */
  isFault?: boolean
  parent?: TraceParent | undefined
}

export interface TracesOptions {
  /** The base address of a collector, such as `http://localhost:4318`. */
  endpoint: string
  /** Headers of each message, such as a key of the collector. */
  headers: Readonly<Record<string, string>>
  serviceName: string
  now: () => Date
  /** Hears that spans could not be sent. */
  onLost: (error: unknown, spans: number) => void
}

/** Milliseconds between two messages. */
const BETWEEN_MESSAGES = 5000
/** Most spans of one message. */
const MOST_IN_MESSAGE = 512
/** Most spans that wait; further ones are dropped. */
const MOST_WAITING = 4096
/** Milliseconds that a message may take. */
const PATIENCE = 3000

/** Numbers of the protocol: `SpanKind` and `StatusCode`. */
const INTERNAL = 1
const SERVER = 2
const STATUS_ERROR = 2

export class Traces {
  readonly #options: TracesOptions
  readonly #timer: NodeJS.Timeout
  #waiting: object[] = []
  #lost = 0
  #sending: Promise<void> = Promise.resolve()

  constructor(options: TracesOptions) {
    this.#options = options
    this.#timer = setInterval(() => void this.flush(), BETWEEN_MESSAGES).unref()
  }

  /** Takes a span that ends now. */
  ended({ name, seconds, attributes, parent, isServer = false, isFault = false }: EndedSpan): void {
    if (this.#waiting.length >= MOST_WAITING) {
      this.#lost += 1
      return
    }
    const end = BigInt(this.#options.now().getTime()) * 1_000_000n
    this.#waiting.push({
      traceId: parent?.traceId ?? randomBytes(16).toString('hex'),
      spanId: randomBytes(8).toString('hex'),
      ...(parent ? { parentSpanId: parent.parentSpanId } : {}),
      name,
      kind: isServer ? SERVER : INTERNAL,
      startTimeUnixNano: String(end - BigInt(Math.round(seconds * 1e9))),
      endTimeUnixNano: String(end),
      attributes: attributesOf(attributes),
      ...(isFault ? { status: { code: STATUS_ERROR } } : {}),
    })
  }

  /** Sends what waits. Never rejects. */
  flush(): Promise<void> {
    this.#sending = this.#sending.then(async () => {
      while (this.#waiting.length > 0) await this.#send(this.#waiting.splice(0, MOST_IN_MESSAGE))
    })
    return this.#sending
  }

  /** Sends what waits, and then nothing more. */
  close(): Promise<void> {
    clearInterval(this.#timer)
    return this.flush()
  }

  async #send(spans: object[]): Promise<void> {
    const { endpoint, headers, serviceName, onLost } = this.#options
    const scopeSpans = [{ scope: { name: 'fillwright' }, spans }]
    const resource = { attributes: attributesOf({ 'service.name': serviceName }) }
    try {
      const response = await fetch(`${endpoint.replace(/\/$/, '')}/v1/traces`, {
        method: 'POST',
        headers: { ...headers, 'content-type': 'application/json' },
        body: JSON.stringify({ resourceSpans: [{ resource, scopeSpans }] }),
        signal: AbortSignal.timeout(PATIENCE),
      })
      await response.arrayBuffer()
      if (!response.ok) throw new Error(`the collector of traces answered ${response.status}`)
      if (this.#lost > 0) onLost(new Error('more spans came than could be sent'), this.#lost)
      this.#lost = 0
    } catch (error) {
      onLost(error, spans.length)
    }
  }
}

function attributesOf(attributes: Readonly<Record<string, string | number>>) {
  return Object.entries(attributes).map(([key, value]) => ({
    key,
    value: typeof value === 'number' ? { intValue: String(Math.round(value)) } : { stringValue: value },
  }))
}
