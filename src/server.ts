// Listens; nothing else.
import { createServer, type RequestListener } from 'node:http'
import { refuseUnreadable } from './http/unreadable-requests.ts'

export interface Listening {
  /** Where requests are answered, such as `http://127.0.0.1:4000`. */
  address: string
  /** Takes no more requests, answers those that were begun, and closes the port; what is not answered after `patience` milliseconds is cut off. */
  close(patience: number): Promise<void>
}

/** Milliseconds between two looks at which connections have become idle while the port closes. */
const BETWEEN_LOOKS = 50

/** Opens the port (0: one that the system chooses). Rejects where that is not possible, as when the port is taken. */
export function listen(app: RequestListener, { host, port }: { host: string; port: number }): Promise<Listening> {
  const server = createServer(app)
  server.on('clientError', refuseUnreadable)
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
