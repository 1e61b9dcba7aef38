'use strict'
/*
 * Loaded before a program (`--require`), in its worker threads too: whoever asks for the network is refused, and it is written down in the
 * file that WATCH_NETWORK names. A line at the start shows that the watch was there.
 */
const { appendFileSync } = require('node:fs')
const net = require('node:net')
const dns = require('node:dns')
const dgram = require('node:dgram')

const write = text => {
  appendFileSync(process.env.WATCH_NETWORK, `${text}\n`)
}
const refused = what => () => {
  write(`asked: ${what}`)
  throw new Error(`no network: ${what}`)
}

write('watching')
net.Socket.prototype.connect = refused('connect')
net.Server.prototype.listen = refused('listen')
dgram.createSocket = refused('datagram')
for (const name of ['lookup', 'resolve', 'resolve4', 'resolve6']) {
  dns[name] = refused(name)
  dns.promises[name] = refused(name)
}
globalThis.fetch = refused('fetch')
