// A PostgreSQL cluster for one purpose, made with the programs that this machine has: started, frozen, thawed, killed, and gone
// afterwards. Tests of outages use it: a server that others use cannot be killed.
import { execFileSync, type SpawnOptions, spawn } from 'node:child_process'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { chown, mkdtemp, rm } from 'node:fs/promises'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'

/** Where packages put the programs of each version of the server, beside what `pg_config` names. */
const VERSIONS = '/usr/lib/postgresql'

/** The folder of `initdb` and `postgres`; undefined where this machine has none. */
export function clusterPrograms(): string | undefined {
  const versions = existsSync(VERSIONS) ? readdirSync(VERSIONS).sort((a, b) => Number(b) - Number(a)) : []
  const folders = versions.map((version) => join(VERSIONS, version, 'bin'))
  return [...folders, namedByConfig()].find((folder) => folder !== undefined && existsSync(join(folder, 'initdb')))
}

function namedByConfig(): string | undefined {
  try {
    return execFileSync('pg_config', ['--bindir'], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] }).trim()
  } catch {
    return undefined
  }
}

export interface OwnCluster {
  /** The address of its database `postgres`. */
  url: string
  /** Starts the server and waits until it answers. */
  start(): Promise<void>
  /** Stops all its processes where they are: connections stay open and nothing is answered. */
  freeze(): void
  /** Lets them go on. */
  thaw(): void
  /** Signal 9 to all its processes: what was committed is there when it starts again. */
  kill(): Promise<void>
  /** Ends it and deletes its files. */
  drop(): Promise<void>
}

/** Makes a cluster in a folder of its own. It is not started. */
export async function ownCluster(programs: string): Promise<OwnCluster> {
  const folder = await mkdtemp(join(tmpdir(), 'fillwright-cluster-'))
  const user = await serverUser(folder)
  const data = join(folder, 'data')
  await finished(programs, 'initdb', ['-D', data, '-U', 'postgres', '-A', 'trust', '--no-locale', '-E', 'UTF8'], user)
  const port = await freePort()
  const url = `postgresql://postgres@127.0.0.1:${port}/postgres`
  let running: { pid: number; ended: Promise<unknown> } | undefined
  const signal = (name: NodeJS.Signals) => {
    if (!running) throw new Error('the cluster is not running')
    for (const pid of withChildren(running.pid)) send(pid, name)
  }
  const kill = async () => {
    signal('SIGKILL')
    await running?.ended
    running = undefined
  }
  return {
    url,
    start: async () => {
      const settings = [`port=${port}`, 'listen_addresses=127.0.0.1', `unix_socket_directories=${folder}`]
      const options = ['-D', data, ...settings.flatMap((setting) => ['-c', setting])]
      const child = spawn(join(programs, 'postgres'), options, { ...user, cwd: folder, stdio: 'ignore' })
      const ended = new Promise((resolve) => child.once('close', resolve))
      if (child.pid === undefined) throw new Error('the server could not be started')
      running = { pid: child.pid, ended }
      await answers(url)
    },
    freeze: () => signal('SIGSTOP'),
    thaw: () => signal('SIGCONT'),
    kill,
    drop: async () => {
      if (running) await kill()
      await rm(folder, { recursive: true, force: true })
    },
  }
}

/** The server refuses to run as root: then it runs as the user that its package made, to whom the folder is given. */
async function serverUser(folder: string): Promise<Pick<SpawnOptions, 'uid' | 'gid'>> {
  if (process.getuid?.() !== 0) return {}
  const [uid, gid] = ['-u', '-g'].map((what) => Number(execFileSync('id', [what, 'postgres'], { encoding: 'utf8' })))
  if (uid === undefined || gid === undefined) throw new Error('there is no user for the server')
  await chown(folder, uid, gid)
  return { uid, gid }
}

async function finished(programs: string, program: string, args: string[], options: SpawnOptions): Promise<void> {
  const child = spawn(join(programs, program), args, { ...options, cwd: tmpdir(), stdio: ['ignore', 'ignore', 'pipe'] })
  let said = ''
  child.stderr?.on('data', (chunk) => (said += chunk))
  const code = await new Promise((resolve) => child.once('close', resolve))
  if (code !== 0) throw new Error(`${program} ended with ${code}: ${said}`)
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer().once('error', reject)
    server.listen(0, '127.0.0.1', () => {
      const address = server.address()
      const port = address !== null && typeof address === 'object' ? address.port : 0
      server.close(() => resolve(port))
    })
  })
}

/** A process and those that it started, first the process itself. */
function withChildren(pid: number): number[] {
  const children = readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').split(' ').filter(Boolean).map(Number)
  return [pid, ...children]
}

/** Signals a process, unless it has ended by itself. */
function send(pid: number, name: NodeJS.Signals): void {
  try {
    process.kill(pid, name)
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'ESRCH')) throw error
  }
}

async function answers(url: string): Promise<void> {
  const until = Date.now() + 60_000
  for (;;) {
    const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: 2000 })
    client.on('error', () => {})
    try {
      await client.connect()
      await client.end()
      return
    } catch (error) {
      if (Date.now() > until) throw error
      await new Promise((resolve) => setTimeout(resolve, 50))
    }
  }
}
