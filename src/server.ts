// Listens; nothing else.
import { createServer } from 'node:http'
import type { App } from './app.ts'

export interface Listening {
  /** Where requests are answered, such as `http://127.0.0.1:4000`. */
  address: string
  /** Answers what is being answered, then closes the port. */
  close(): Promise<void>
}

/** Opens the port (0: one that the system chooses). Rejects where that is not possible, as when the port is taken. */
export function listen(app: App, { host, port }: { host: string; port: number }): Promise<Listening> {
  const server = createServer(app)
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, host, () => {
      const address = server.address()
      const opened = typeof address === 'object' && address ? address.port : port
      resolve({
        address: `http://${host.includes(':') ? `[${host}]` : host}:${opened}`,
        close: () =>
          new Promise((closed, failed) => {
            server.close((error) => (error ? failed(error) : closed()))
            server.closeIdleConnections()
          }),
      })
    })
  })
}
