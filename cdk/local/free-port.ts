import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'

export const loopback = '127.0.0.1'

export function listen(server: Server, port = 0): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, loopback, () => resolve((server.address() as AddressInfo).port))
  })
}

export function close(server: Server): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => resolve())
    server.closeAllConnections()
  })
}

/** The promise fails where the port is taken. Without a port there is nothing to fail. */
export async function portIsFree(port: number | undefined): Promise<void> {
  if (port === undefined) return
  const server = createServer()
  await listen(server, port)
  await close(server)
}

/** A free port, for a program that must be told its port. */
export async function freePort(): Promise<number> {
  const server = createServer()
  const port = await listen(server)
  await close(server)
  return port
}
