// Package e2e drives the shipped container from outside, as a client sees it:
// its tests build the image from the repository's Dockerfile, start it, and
// speak HTTP. It imports nothing else of this module.
//
// The tests need a Docker engine, and one of them a Chromium; without, they
// skip and say why. These variables steer them:
//
//	RECIRC_E2E=required    a reason to skip is a failure
//	RECIRC_E2E_IMAGE       test this image instead of building one
//	RECIRC_GO_IMAGE        build on this Go image instead of one made here
//	RECIRC_E2E_ARTIFACTS   folder for the screenshots of the explorer
package e2e
