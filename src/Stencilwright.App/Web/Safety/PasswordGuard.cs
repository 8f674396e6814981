namespace Stencilwright.App.Web.Safety;

/// <summary>Lets nobody past without the password, where one is wanted; styles and the font of its page come along.</summary>
internal sealed class PasswordGuard(RequestDelegate next, PasswordGate gate)
{
    public Task InvokeAsync(HttpContext context)
    {
        var path = context.Request.Path;
        if (!gate.IsWanted || gate.Knows(context.Request.Cookies[PasswordGate.CookieName])
            || path.StartsWithSegments("/password") || path.StartsWithSegments("/fonts") || path.Value is "/workshop.css")
        {
            return next(context);
        }

        if (HttpMethods.IsGet(context.Request.Method) && !path.StartsWithSegments("/_blazor"))
        {
            context.Response.Redirect("/password");
        }
        else
        {
            context.Response.StatusCode = StatusCodes.Status401Unauthorized;
        }

        return Task.CompletedTask;
    }
}
