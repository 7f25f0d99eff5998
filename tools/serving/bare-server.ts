// A server that does one bare transaction for every request, and nothing else: what HTTP, a process of its own and the
// driver cost anyone. SIGTERM ends it; what it wrote is deleted then.
import { createServer } from 'node:http'
import { openDatabase } from '../../src/database/open-database.ts'
import { parseSettings } from '../../src/settings.ts'
import { bareTransaction } from './bare-transaction.ts'
import { LARGE_ID } from './large-data.ts'

const database = await openDatabase(parseSettings(process.env), (error) => console.error(error.message))
const bare = await bareTransaction(database, LARGE_ID)

const server = createServer((request, response) => {
  request.resume()
  request.on('end', () => {
    bare.byDriver().then(
      () => response.setHeader('content-type', 'application/json').end('{"data":{}}'),
      (error) => response.writeHead(500).end(String(error)),
    )
  })
})
server.listen(0, '127.0.0.1', () => {
  const address = server.address()
  if (address && typeof address === 'object')
    console.log(`The bare transaction answers at http://127.0.0.1:${address.port}`)
})

process.on('SIGTERM', async () => {
  server.close()
  server.closeAllConnections()
  await bare.undo()
  await database.close()
})
