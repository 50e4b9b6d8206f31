# docker build -t recirc .
# The base image needs no shell: every RUN is in exec form. With a vendor/
# folder in the context the build needs no network.
ARG GO_IMAGE=golang:1.26

FROM ${GO_IMAGE} AS build
LABEL recirc.stage=build
WORKDIR /src
COPY . .
# Exec form expands no variables, so the version travels in the environment.
ARG VERSION=dev
ENV CGO_ENABLED=0 \
    GOFLAGS="-trimpath -buildvcs=false -tags=nomsgpack '-ldflags=-s -w -X=main.version=${VERSION}'"
RUN ["go", "build", "-o", "/out/recirc", "./cmd/recirc"]

FROM scratch
COPY --from=build /out/recirc /recirc
USER 65532:65532
EXPOSE 8080
HEALTHCHECK --interval=5s --timeout=3s --start-period=5s CMD ["/recirc", "healthcheck"]
ENTRYPOINT ["/recirc"]
CMD ["serve"]
