// Listens, within limits: how long a request may take to arrive, and how many connections there may be. Nothing else.
import { createServer, type RequestListener } from 'node:http'
import type { Socket } from 'node:net'
import { LateRequests } from './http/late-requests.ts'
import { refuseCrowded, refuseUnreadable } from './http/unreadable-requests.ts'

export interface ServerOptions {
  host: string
  port: number
  /** Seconds within which the headers of a request have arrived. Absent: 10. */
  headersSeconds?: number
  /** Seconds within which all of a request has arrived. Absent: 30. */
  bodySeconds?: number
  /** Seconds for which a connection may rest between two requests; answers say so by `Keep-Alive`. Absent: 5. */
  keepAliveSeconds?: number
  /** Connections whose requests are answered; on further ones they are refused. Absent: 1,000. */
  mostConnections?: number
}

/** The limits, where nothing else is set. */
export const CONNECTION_LIMITS = { headersSeconds: 10, bodySeconds: 30, keepAliveSeconds: 5, mostConnections: 1000 }

/** Connections beyond the most on which a refusal is still said; those beyond them are closed at once. */
const REFUSED_CONNECTIONS = 100

/** Milliseconds for which a connection may stand still while an answer waits to be read: events of subscriptions come more often. */
const UNREAD = 120_000

export interface Listening {
  /** Where requests are answered, such as `http://127.0.0.1:4000`. */
  address: string
  /** Takes no more requests, answers those that were begun, and closes the port; what is not answered after `patience` milliseconds is cut off. */
  close(patience: number): Promise<void>
}

/** Milliseconds between two looks at which connections have become idle while the port closes. */
const BETWEEN_LOOKS = 50

/** Opens the port (0: one that the system chooses). Rejects where that is not possible, as when the port is taken. */
export function listen(app: RequestListener, options: ServerOptions): Promise<Listening> {
  const { host, port } = options
  const server = limited(app, { ...CONNECTION_LIMITS, ...options })
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, host, () => {
      const address = server.address()
      const opened = typeof address === 'object' && address ? address.port : port
      resolve({
        address: `http://${host.includes(':') ? `[${host}]` : host}:${opened}`,
        close: (patience) =>
          new Promise((closed, failed) => {
            // A connection that is kept for further requests becomes idle only once its answer is sent.
            const looking = setInterval(() => server.closeIdleConnections(), BETWEEN_LOOKS)
            const late = setTimeout(() => server.closeAllConnections(), patience)
            server.close((error) => {
              clearInterval(looking)
              clearTimeout(late)
              if (error) failed(error)
              else closed()
            })
          }),
      })
    })
  })
}

function limited(app: RequestListener, limits: typeof CONNECTION_LIMITS) {
  const { headersSeconds, bodySeconds, keepAliveSeconds, mostConnections } = limits
  let connections = 0
  const crowded = new WeakSet<Socket>()
  const late = new LateRequests()
  const server = createServer(
    {
      headersTimeout: headersSeconds * 1000,
      requestTimeout: bodySeconds * 1000,
      // It counts from an answer on, the limits above from the first sign of a request: either may be the longer one.
      keepAliveTimeout: keepAliveSeconds * 1000,
      // A request is late by a tenth of the shorter limit at most.
      connectionsCheckingInterval: Math.min(headersSeconds, bodySeconds) * 100,
    },
    (request, response) => {
      late.begun(request)
      return crowded.has(request.socket) ? refuseCrowded(response) : app(request, response)
    },
  )
  server.maxConnections = mostConnections + REFUSED_CONNECTIONS
  server.setTimeout(UNREAD)
  server.on('connection', (socket: Socket) => {
    connections += 1
    if (connections > mostConnections) crowded.add(socket)
    socket.once('close', () => {
      connections -= 1
    })
  })
  server.on('clientError', (fault: NodeJS.ErrnoException, socket) =>
    fault.code === 'ERR_HTTP_REQUEST_TIMEOUT' ? late.judge(fault, socket) : refuseUnreadable(fault, socket),
  )
  return server
}
