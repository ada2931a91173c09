# Debian (glibc) image: the pinned runtime for development is a glibc build and is left out here
FROM node:24-bookworm-slim
WORKDIR /service
COPY package.json package-lock.json .npmrc ./
RUN npm ci --omit=dev --omit=optional --ignore-scripts && npm cache clean --force
COPY src ./src
COPY rules ./rules
COPY openapi ./openapi
USER node
ENV HOST=0.0.0.0 PORT=8080
EXPOSE 8080
HEALTHCHECK --interval=30s --timeout=3s CMD ["node", "-e", "fetch('http://127.0.0.1:8080/readyz').then(r=>process.exit(r.ok?0:1),()=>process.exit(1))"]
# reads its own files and starts threads; nothing else
CMD ["node", "--permission", "--allow-fs-read=/service", "--allow-worker", "src/main.ts"]
