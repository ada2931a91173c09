/** A Fastify that can do nothing. */
import Fastify from 'fastify';

console.log(await Fastify().listen({ host: '127.0.0.1', port: 0 }));
