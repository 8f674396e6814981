namespace Stencilwright.App.Web.Safety;

/// <summary>Lets nobody past without the password, where one is wanted; styles and the font of its page come along.</summary>
internal sealed class PasswordGuard(RequestDelegate next, PasswordGate gate)
{
    private static readonly PathString _sockets = "/_blazor";

    public async Task InvokeAsync(HttpContext context)
    {
        var path = context.Request.Path;
        var stay = gate.IsWanted ? gate.StayOf(context.Request.Cookies[PasswordGate.CookieName]) : default(CancellationToken);
        if (stay is { } until && path.StartsWithSegments(_sockets))
        {
            // A page that was opened with the password must not outlive it.
            using var end = until.Register(context.Abort);
            await next(context);
        }
        else if (stay is not null || path.StartsWithSegments("/password") || path.StartsWithSegments("/fonts") || path.Value is "/workshop.css")
        {
            await next(context);
        }
        else if ((HttpMethods.IsGet(context.Request.Method) || HttpMethods.IsHead(context.Request.Method)) && !path.StartsWithSegments(_sockets))
        {
            context.Response.Redirect("/password");
        }
        else
        {
            context.Response.StatusCode = StatusCodes.Status401Unauthorized;
        }
    }
}
